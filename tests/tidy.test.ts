/**
 * The rules of the house, held by a test: what the compiler and the linter do not see. Every rule is a function
 * from files to findings, and is itself tried on a file that breaks it.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..');

interface File {
  /** From the top of the project, with strokes. */
  readonly path: string;
  readonly text: string;
}

const TOP_LEVEL = [
  'README.md',
  'DEVELOPERS.md',
  'package.json',
  'package-lock.json',
  'tsconfig.json',
  'vite.config.ts',
  'public',
  'src',
  'tests',
  'demo-data',
];
const TEXT = /\.(?:ts|tsx|mjs|cjs|js|css|html|md|json|svg|txt|yml|yaml)$|(?:^|\/)\.[\w.-]+$/;

const ignored = readFileSync(join(ROOT, '.gitignore'), 'utf8')
  .split('\n')
  .map((line) => line.trim().replace(/\/$/, ''))
  .filter((line) => line !== '' && !line.startsWith('#'));
const isIgnored = (name: string) =>
  name === '.git' ||
  ignored.some((one) => (one.startsWith('*') ? name.endsWith(one.slice(1)) : name === one));

function pathsUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true })
    .filter(({ name }) => !isIgnored(name))
    .flatMap((entry) => {
      const path = join(folder, entry.name);
      return entry.isDirectory() ? pathsUnder(path) : [relative(ROOT, path).split(sep).join('/')];
    });
}

const paths = pathsUnder(ROOT);
const files: readonly File[] = paths
  .filter((path) => TEXT.test(path))
  .map((path) => ({ path, text: readFileSync(join(ROOT, path), 'utf8') }));
const under = (...folders: readonly string[]) =>
  files.filter(({ path }) => folders.some((folder) => path.startsWith(`${folder}/`)));
const isCode = ({ path }: File) => /\.(?:ts|tsx|mjs|cjs|js)$/.test(path);
const isDocument = ({ path }: File) => path.endsWith('.md');

/** Every line that `pattern` is found in, as `path:line`. */
function linesWith(pattern: RegExp, { path, text }: File): string[] {
  return text.split('\n').flatMap((line, index) => (pattern.test(line) ? [`${path}:${index + 1}`] : []));
}

// ── The rules ──

const heldBack = (file: File) =>
  linesWith(
    /\b(?:test|it|describe|suite|bench)\b[\w.]*\.(?:only|skip|todo|fixme)\b|\bx(?:it|test|describe)\(/,
    file,
  );

const leftOver = (file: File) => linesWith(/\b(?:TO-?DO|FIX-?ME)\b/, file);

/** A path of somebody's own machine. A path with a dot, a letter or a stroke before it goes on from another. */
const machinePath = (file: File) =>
  linesWith(/(?<![\w.~*)\]}/-])\/(?:work|tmp|root|home\/\w+|Users\/\w+)(?=[/\s'"`),;:]|$)/, file);

const withoutFences = (text: string) => text.replace(/^(```|~~~).*?^\1\s*$/gms, '');

function titles({ path, text }: File): string[] {
  const count = withoutFences(text).match(/^# \S/gm)?.length ?? 0;
  return count === 1 ? [] : [`${path}: ${count} titles`];
}

/** What a document says in code: between backticks and in fenced blocks, word by word. */
function wordsInCode(text: string): string[] {
  const fenced = [...text.matchAll(/^(```|~~~)[^\n]*\n(.*?)^\1\s*$/gms)].map((match) => match[2] ?? '');
  const inline = [...withoutFences(text).matchAll(/`([^`\n]+)`/g)].map((match) => match[1] ?? '');
  return [...fenced, ...inline].flatMap((code) => code.split(/[\s,;()'"]+/)).filter((word) => word !== '');
}

const PATH = /^\.?[\w@-][\w.@-]*(?:\/[\w.@*{}-]+)*\/?$/;
const OF_OURS = /^(?:public|src|tests|demo-data)(?:\/|$)/;
const WITH_ENDING = /[\w*}-]\.(?:ts|tsx|mjs|cjs|css|html|json|md|svg)$/;

/** Whether a word in code names a file or folder of the project, rather than a route, a package or a type. */
function namesPath(word: string): boolean {
  const first = word.split('/')[0] ?? '';
  return (
    PATH.test(word) &&
    !isIgnored(first) &&
    ((OF_OURS.test(word) && word.includes('/')) || WITH_ENDING.test(word))
  );
}

/** A path from the top, or the end of one; of a pattern, what stands before its first `*`. */
function isThere(word: string, held: readonly string[]): boolean {
  const pattern = word.search(/[*{]/);
  if (pattern >= 0) return held.some((path) => path.startsWith(word.slice(0, pattern)));
  const named = word.replace(/\/$/, '');
  if (OF_OURS.test(named)) return held.some((path) => path === named || path.startsWith(`${named}/`));
  return held.some((path) => `/${path}`.endsWith(`/${named}`));
}

/** What a command is told to write need not be there. */
const WRITTEN = /--out \S+/g;

const missingPaths = ({ path, text }: File, held: readonly string[]) =>
  wordsInCode(text.replace(WRITTEN, ''))
    .filter((word) => namesPath(word) && !isThere(word, held))
    .map((word) => `${path}: ${word}`);

function missingScripts({ path, text }: File, scripts: readonly string[]): string[] {
  const named = [...text.matchAll(/\bnpm (?:run ([\w:-]+)|(test|start)\b)/g)].map(
    (match) => match[1] ?? match[2] ?? '',
  );
  return named.filter((script) => !scripts.includes(script)).map((script) => `${path}: npm run ${script}`);
}

/** Begun by a person, a browser or a script and not imported by a file. */
const ENTRY =
  /(?:^|\/)(?:main\.tsx?|sw\.ts|start\.mjs|tsconfig[\w.]*\.json|[\w-]+\.html)$|\.worker\.ts$|\/cli\/[\w-]+\.ts$|\.d\.ts$/;

/** Files that no other file of `held` mentions by a relative path (import, dynamic import, URL, style sheet). */
function unmentioned(held: readonly File[]): string[] {
  const mentioned = new Set(
    held.flatMap(({ path, text }) =>
      [...text.matchAll(/['"`(](\.{1,2}\/[^'"`)\s?#]+)/g)].map((match) => {
        const target = normalize(join(dirname(path), match[1] ?? ''))
          .split(sep)
          .join('/');
        return target === path ? '' : target;
      }),
    ),
  );
  return held.map(({ path }) => path).filter((path) => !ENTRY.test(path) && !mentioned.has(path));
}

// ── The house ──

describe('the house', () => {
  test('has nothing at the top but what belongs there', () => {
    const strangers = readdirSync(ROOT).filter(
      (name) => !name.startsWith('.') && !isIgnored(name) && !TOP_LEVEL.includes(name),
    );
    expect(strangers).toEqual([]);
  });

  test('holds back no test and runs none alone', () => {
    expect(under('tests', 'src').filter(isCode).flatMap(heldBack)).toEqual([]);
  });

  test('has left nothing for later', () => {
    expect(files.filter((file) => file.path !== 'package-lock.json').flatMap(leftOver)).toEqual([]);
  });

  test('names no path of anybody’s machine', () => {
    expect(files.flatMap(machinePath)).toEqual([]);
  });

  test('gets its packages from the public registry alone', () => {
    const lock = files.find(({ path }) => path === 'package-lock.json')?.text ?? '';
    const hosts = [...lock.matchAll(/"resolved": "([^"]+)"/g)].map((match) => new URL(match[1] ?? '').host);
    expect([...new Set(hosts)].filter((host) => host !== 'registry.npmjs.org')).toEqual([]);
  });

  test('has one title a document', () => {
    expect(files.filter(isDocument).flatMap(titles)).toEqual([]);
  });

  test('has every file that its documents name', () => {
    const ours = files.filter((file) => isDocument(file) && !file.path.includes('/'));
    expect(ours.flatMap((file) => missingPaths(file, paths))).toEqual([]);
  });

  test('has every script that its documents name', () => {
    const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { scripts: object };
    expect(files.filter(isDocument).flatMap((file) => missingScripts(file, Object.keys(scripts)))).toEqual(
      [],
    );
  });

  test('starts in its scripts only what is there', () => {
    const { scripts } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
      scripts: Record<string, string>;
    };
    const named = Object.values(scripts)
      .flatMap((script) => script.split(/\s+/))
      .filter((word) => /\/.*\.(?:ts|mjs|cjs)$/.test(word));
    expect(named.filter((path) => !existsSync(join(ROOT, path)))).toEqual([]);
  });

  test('has no source that nothing imports', () => {
    const program = [...under('src', 'demo-data'), ...files.filter(({ path }) => path === 'vite.config.ts')];
    expect(unmentioned(program).filter((path) => path.startsWith('src/'))).toEqual([]);
  });

  test('names its files in small letters with hyphens, for the one thing in them', () => {
    const bad = under('src', 'tests')
      .filter(isCode)
      .map(({ path }) => path)
      .filter(
        (path) =>
          !/\/(?:\d+-)?[a-z0-9-]+(?:\.[a-z]+)*\.(?:tsx?|[cm]?js)$/.test(path) ||
          /\/(?:index|utils?|helpers?|common|misc)\.\w+$/.test(path),
      );
    expect(bad).toEqual([]);
  });

  test('keeps its sources short: half of them within 80 lines, nine of ten within 300', () => {
    const lengths = under('src')
      .filter(isCode)
      .map(({ path, text }) => ({ path, lines: text.trimEnd().split('\n').length }))
      .toSorted((a, b) => a.lines - b.lines);
    const at = (share: number) => lengths[Math.floor((lengths.length - 1) * share)]?.lines ?? 0;
    const long = lengths.filter(({ lines }) => lines > 300).map(({ path, lines }) => `${path} ${lines}`);
    console.log(
      `${lengths.length} sources, median ${at(0.5)} lines, nine of ten within ${at(0.9)}; over 300: ${long.join(', ') || 'none'}`,
    );
    expect(at(0.5)).toBeLessThanOrEqual(80);
    expect(at(0.9)).toBeLessThanOrEqual(300);
  });
});

// ── The rules on files that break them ──

describe('a rule finds what breaks it, and nothing else', () => {
  const file = (text: string, path = 'src/a.ts'): File => ({ path, text });
  // Put together here, so that this file does not break the rules itself.
  const [only, skip, later, mend] = ['on' + 'ly', 'sk' + 'ip', 'TO' + 'DO', 'FIX' + 'ME'];

  test.each([
    [`test.${only}('x')`, 1],
    [`describe.${skip}.each([])`, 1],
    [`test.concurrent.${only}('x')`, 1],
    ["iterator.drop(1); test('the only one')", 0],
  ])('held back: %s', (text, found) => {
    expect(heldBack(file(text)).length).toBe(found);
  });

  test.each([
    [`// ${later} name it`, 1],
    [`a\n/* ${mend} */`, 1],
    ['const todos = 1;', 0],
  ])('left over: %s', (text, found) => {
    expect(leftOver(file(text)).length).toBe(found);
  });

  test.each([
    ['/', 'work', '/main/a.ts', 1],
    ["'/", 'tmp', "'", 1],
    ['see /', 'home/ines', '/a', 1],
    ['src/', 'tmp', '/a.ts', 0],
    ['../', 'work', '/a.ts', 0],
    ['/', 'working', '', 0],
  ])('machine path: %s%s%s', (before, name, after, found) => {
    expect(machinePath(file(before + name + after)).length).toBe(found);
  });

  test.each([
    ['# One\n\n## Two\n', 0],
    ['# One\n\n# Two\n', 1],
    ['no title\n', 1],
    ['# One\n\n```sh\n# a comment\n```\n', 0],
  ])('titles: %j', (text, found) => {
    expect(titles(file(text, 'README.md')).length).toBe(found);
  });

  test.each([
    ['`src/domain/code.ts`', []],
    ['`src/domain/cod.ts`', ['src/domain/cod.ts']],
    ['`src/domain/`, `src/domain`, `src/dom*`, `code.ts`, `domain/code.ts`', []],
    ['`src/doma/`', ['src/doma/']],
    ['`cod.ts`', ['cod.ts']],
    ['```sh\nnpx tsx src/gone.ts --in data/ledger.json\n```', ['src/gone.ts']],
    ['`POST /api/push`, `image/png`, `Intl.DateTimeFormat`, `a/b`, `dist/index.html`', []],
    ['in prose src/gone.ts is no name', []],
  ])('missing path: %s', (text, missing) => {
    const held = ['src/domain/code.ts', 'package.json'];
    expect(missingPaths(file(text, 'D.md'), held)).toEqual(missing.map((word) => `D.md: ${word}`));
  });

  test('missing script', () => {
    const text = '`npm run dev`, `npm run fly`, `npm test`, `npm start`, `npm install`';
    expect(missingScripts(file(text, 'D.md'), ['dev', 'test'])).toEqual([
      'D.md: npm run fly',
      'D.md: npm run start',
    ]);
  });

  test('a source that nothing imports', () => {
    const held = [
      file("import { a } from './a.ts';\nnew URL('../b/c.worker.ts', x);", 'src/x/main.tsx'),
      file("import './self.ts';", 'src/x/self.ts'),
      file('', 'src/x/a.ts'),
      file('', 'src/b/dead.ts'),
      file('', 'src/x/sheet.css'),
    ];
    expect(unmentioned(held)).toEqual(['src/x/self.ts', 'src/b/dead.ts', 'src/x/sheet.css']);
  });
});
