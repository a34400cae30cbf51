// Who may import whom. Everything points inwards: tablet, desk, server -> wire -> domain.
const only = (name, from, allowed, comment) => ({
  name,
  severity: 'error',
  comment,
  from: { path: from },
  to: { path: '^src/', pathNot: allowed },
});
const packages = (name, from, allowed, comment) => ({
  name,
  severity: 'error',
  comment,
  from: { path: from },
  to: { path: 'node_modules/', pathNot: allowed },
});

module.exports = {
  forbidden: [
    only('domain-is-alone', '^src/domain/', ['^src/domain/'], 'The domain is pure and knows nobody.'),
    packages(
      'domain-packages',
      '^src/domain/',
      ['node_modules/(zod|@noble/hashes|temporal-polyfill|pure-rand)/'],
      'Only zod and pure libraries.',
    ),
    only('wire-knows-domain', '^src/wire/', ['^src/(wire|domain)/'], 'The wire knows only the domain.'),
    only('words-know-domain', '^src/words/', ['^src/(words|domain)/'], 'Sentences know only the domain.'),
    only(
      'parts-are-shared',
      '^src/parts/',
      ['^src/(parts|domain|words)/'],
      'Shared parts know domain and words.',
    ),
    only(
      'scan-knows-domain',
      '^src/tablet/scan/',
      ['^src/tablet/scan/', '^src/domain/'],
      'Scanning knows codes, nothing of the ledger.',
    ),
    only(
      'ledger-knows-wire',
      '^src/tablet/(ledger|device)/',
      ['^src/tablet/(ledger|device)/', '^src/(wire|domain)/', '^src/tablet/photos/photo-store.ts$'],
      'The ledger knows wire and domain, and the contract of the photographs that lie beside it.',
    ),
    only(
      'photos-know-the-contract',
      '^src/tablet/photos/',
      [
        '^src/tablet/photos/',
        '^src/(wire|domain)/',
        '^src/tablet/ledger/ledger.ts$',
        '^src/tablet/sync/(backoff|resting|retry-after).ts$',
      ],
      'Photographs know the ledger contract, never its implementation, and wait as the sync loop does.',
    ),
    only(
      'sync-knows-the-contract',
      '^src/tablet/sync/',
      ['^src/tablet/sync/', '^src/(wire|domain)/', '^src/tablet/ledger/ledger.ts$'],
      'Sync knows the ledger contract, never its implementation.',
    ),
    only(
      'pages-are-handed-things',
      '^src/tablet/(pages|parts)/',
      ['^src/tablet/(pages|parts)/', '^src/tablet/app/', '^src/(domain|words|parts)/'],
      'Pages get data and functions from main.',
    ),
    only(
      'desk-side',
      '^src/desk/',
      [
        '^src/(desk|wire|domain|words|parts|paper)/',
        '^src/tablet/(ledger|device|sync|photos)/',
        '^src/tablet/start-sync.ts$',
      ],
      'The desk keeps a ledger as a tablet does, and knows nothing of benches, cameras or the server.',
    ),
    only(
      'paper-is-pure',
      '^src/paper/',
      ['^src/(paper|domain)/'],
      'Paper is drawn in a browser as on the server.',
    ),
    packages(
      'paper-packages',
      '^src/paper/',
      ['node_modules/(bwip-js|temporal-polyfill|zod)/'],
      'Only what draws symbols, and pure libraries.',
    ),
    only(
      'tablet-side',
      '^src/tablet/',
      ['^src/(tablet|desk|wire|domain|words|parts)/'],
      'The tablet never imports the server.',
    ),
    only(
      'server-side',
      '^src/server/',
      ['^src/(server|wire|domain|words|paper)/'],
      'The server never imports the tablet or the desk.',
    ),
    packages(
      'kysely-stays-home',
      '^src/server/(?!ledger/|cli/|main)',
      ['node_modules/(?!kysely|better-sqlite3|@types/better-sqlite3|pg|@types/pg)'],
      'Only src/server/ledger knows SQL.',
    ),
    { name: 'no-rings', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'nothing-imports-a-main',
      severity: 'error',
      from: {},
      to: { path: '^src/(tablet|server)/main\\.tsx?$' },
    },
    { name: 'resolvable', severity: 'error', from: {}, to: { couldNotResolve: true, pathNot: '\\?url$' } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.js', '.mjs'],
      exportsFields: ['exports'],
      conditionNames: ['import', 'types', 'default'],
    },
  },
};
