import { describe, expect, test } from 'vitest';
import { ticketPatternSchema } from '../../src/domain/ticket-pattern.ts';
import {
  fromCamera,
  fromHand,
  type Heard,
  type Intake,
  NOTHING_TAKEN_IN,
} from '../../src/tablet/scan/intake.ts';

const OURS = 'P7K4292W';
const OURS_TOO = 'P030000Y';
const RULES = { pattern: null, pauseMs: 2000 };

/** A bench where things happen one after the other; keeps what was heard. */
class Bench {
  #intake: Intake = NOTHING_TAKEN_IN;
  readonly heard: Heard[] = [];

  /** The camera sees these texts in frames every 100 ms from `from` to `to`. */
  show(texts: readonly string[], from: number, to: number): this {
    const readings = texts.map((text) => ({ text, symbol: 'qr' as const }));
    for (let at = from; at < to; at += 100) this.#keep(fromCamera(this.#intake, readings, at, RULES));
    return this;
  }

  hand(text: string, source: 'wedge' | 'typed', at: number, pattern: string | null = null): this {
    const site = pattern === null ? null : ticketPatternSchema.parse(pattern);
    this.#keep(fromHand(this.#intake, text, source, at, { ...RULES, pattern: site }));
    return this;
  }

  #keep({ intake, heard }: ReturnType<typeof fromHand>): void {
    this.#intake = intake;
    this.heard.push(...heard);
  }
}

const byCamera = (text: string) => ({ kind: 'scan', text, source: 'camera', symbol: 'qr' });
const byWedge = (text: string) => ({ kind: 'scan', text, source: 'wedge', symbol: null });

describe('the camera', () => {
  test('a ticket left in view is one scan; shown again later it is the second', () => {
    const bench = new Bench().show([OURS], 0, 20_000).show([], 20_000, 22_000).show([OURS], 22_000, 24_000);
    expect(bench.heard).toEqual([byCamera(OURS), byCamera(OURS)]);
  });

  test('a ticket that lay there while the camera slept books nothing and is told of', () => {
    const bench = new Bench().show([OURS], 0, 1000).show([OURS], 600_000, 610_000);
    expect(bench.heard).toEqual([byCamera(OURS), { kind: 'still-in-view', text: OURS }]);
  });

  test('a damaged ticket is told of once a showing', () => {
    const bench = new Bench().show(['P7K4292M'], 0, 10_000);
    expect(bench.heard).toEqual([byCamera('P7K4292M')]);
  });

  test('two tickets are told of once; when one goes the other is taken', () => {
    const bench = new Bench().show([OURS, OURS_TOO], 0, 5000).show([OURS], 5000, 6000);
    expect(bench.heard).toEqual([{ kind: 'several', texts: [OURS_TOO, OURS] }, byCamera(OURS)]);
  });
});

describe('the hand', () => {
  test('a trigger pulled twice is one scan and a repeat; later it is a scan again', () => {
    const bench = new Bench().hand(OURS, 'wedge', 0).hand(OURS, 'wedge', 1999).hand(OURS, 'wedge', 4000);
    expect(bench.heard).toEqual([byWedge(OURS), { kind: 'repeat', text: OURS }, byWedge(OURS)]);
  });

  test('a ticket read by the wedge is not taken by the camera too, small letters or not', () => {
    const bench = new Bench().show([], 0, 1000).hand('p7k4292w', 'wedge', 1000).show([OURS], 1050, 9000);
    expect(bench.heard).toEqual([byWedge('p7k4292w')]);
  });

  test('what is typed is always taken, also twice', () => {
    const bench = new Bench().hand(OURS, 'typed', 0).hand(OURS, 'typed', 100);
    expect(bench.heard).toHaveLength(2);
  });

  test('a damaged code from the wedge is told of each time', () => {
    const bench = new Bench().hand('P7K4292M', 'wedge', 0).hand('P7K4292M', 'wedge', 100);
    expect(bench.heard).toEqual([byWedge('P7K4292M'), byWedge('P7K4292M')]);
  });

  test('crossed layouts are told of and nothing is taken', () => {
    const bench = new Bench().hand('P030000Z', 'wedge', 0);
    expect(bench.heard).toEqual([{ kind: 'layout', layout: 'qwertz', text: 'P030000Z' }]);
  });

  test("a site's own ticket is a scan", () => {
    expect(new Bench().hand('J-10442', 'wedge', 0, 'J-#####').heard).toEqual([byWedge('J-10442')]);
  });
});
