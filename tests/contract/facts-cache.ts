/** What the cache of facts in every server ledger must do, as named cases; they are among `SERVER_LEDGER_CASES`. */
import { expect } from 'vitest';
import { asPairId, asSiteId } from '../../src/domain/ids.ts';
import type { FactsHead, KeptFacts } from '../../src/server/ledger/facts-cache.ts';
import type { ServerLedger } from '../../src/server/ledger/ledger.ts';
import { EPOCH, SITE } from '../support/builders.ts';
import { newSiteOf } from '../support/server.ts';

const OTHER_SITE = asSiteId('netherby');
const ANEW = { epoch: EPOCH, stamp: 'rules 1' };
const BEGUN: FactsHead = { ...ANEW, pos: 0 };

const here = (name: string, firstAt: number, lastAt: number | null): KeptFacts => ({
  pair: asPairId(name),
  firstAt,
  lastAt,
  json: `{"pair":"${name}"}`,
});

const begun = (run: (ledger: ServerLedger) => Promise<void>) => async (ledger: ServerLedger) => {
  await ledger.createSite(newSiteOf());
  expect(await ledger.factsHead(SITE)).toBeNull();
  expect(await ledger.beginFacts(SITE, null, ANEW)).toBe(true);
  await run(ledger);
};

const names = (facts: readonly string[]) => facts.map((json) => JSON.parse(json).pair).sort();

export const FACTS_CACHE_CASES = [
  {
    name: 'facts are found for the pairs that were here at some time of a span',
    run: begun(async (ledger) => {
      const kept = [here('P100', 10, 20), here('P200', 15, null), here('P300', 40, 50)];
      expect(await ledger.keepFacts(SITE, BEGUN, { ...BEGUN, pos: 9 }, kept)).toBe(true);
      expect(await ledger.factsHead(SITE)).toEqual({ ...ANEW, pos: 9 });
      expect(names(await ledger.factsBetween(SITE, 0, 10))).toEqual([]);
      expect(names(await ledger.factsBetween(SITE, 20, 40))).toEqual(['P100', 'P200']);
      expect(names(await ledger.factsBetween(SITE, 51, 90))).toEqual(['P200']);
      expect(await ledger.pairsHere(SITE, 51, 90)).toEqual([{ pair: 'P200', firstAt: 15, lastAt: null }]);
    }),
  },
  {
    name: 'facts kept again take the place of those before, and none take it away',
    run: begun(async (ledger) => {
      await ledger.keepFacts(SITE, BEGUN, { ...BEGUN, pos: 1 }, [
        here('P100', 10, null),
        here('P200', 10, null),
      ]);
      const left = { ...here('P200', 0, null), json: null };
      await ledger.keepFacts(SITE, { ...BEGUN, pos: 1 }, { ...BEGUN, pos: 2 }, [here('P100', 10, 12), left]);
      expect(await ledger.pairsHere(SITE, 0, 90)).toEqual([{ pair: 'P100', firstAt: 10, lastAt: 12 }]);
    }),
  },
  {
    name: 'facts computed from a place that somebody else has moved on from are not kept',
    run: begun(async (ledger) => {
      await ledger.keepFacts(SITE, BEGUN, { ...BEGUN, pos: 5 }, [here('P100', 10, null)]);
      expect(await ledger.keepFacts(SITE, BEGUN, { ...BEGUN, pos: 4 }, [here('P100', 10, 11)])).toBe(false);
      expect(await ledger.factsHead(SITE)).toEqual({ ...ANEW, pos: 5 });
      expect(await ledger.pairsHere(SITE, 0, 90)).toEqual([{ pair: 'P100', firstAt: 10, lastAt: null }]);
      expect(await ledger.beginFacts(SITE, null, ANEW)).toBe(false);
    }),
  },
  {
    name: 'begun anew the cache is empty, and another site’s is not touched',
    run: begun(async (ledger) => {
      await ledger.createSite(newSiteOf({ site: OTHER_SITE, name: 'Netherby' }));
      await ledger.beginFacts(OTHER_SITE, null, ANEW);
      const many = Array.from({ length: 450 }, (_, index) => here(`P${1000 + index}`, index, null));
      await ledger.keepFacts(SITE, BEGUN, { ...BEGUN, pos: 3 }, many);
      await ledger.keepFacts(OTHER_SITE, BEGUN, { ...BEGUN, pos: 3 }, [here('P900', 1, null)]);
      expect(await ledger.factsBetween(SITE, 0, 1000)).toHaveLength(450);
      const changed = { epoch: EPOCH, stamp: 'rules 2' };
      expect(await ledger.beginFacts(SITE, { ...BEGUN, pos: 3 }, changed)).toBe(true);
      expect(await ledger.factsBetween(SITE, 0, 1000)).toEqual([]);
      expect(await ledger.factsHead(SITE)).toEqual({ ...changed, pos: 0 });
      expect(names(await ledger.factsBetween(OTHER_SITE, 0, 1000))).toEqual(['P900']);
    }),
  },
];
