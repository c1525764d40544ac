import fc from 'fast-check';
import { differencesOf, type Fleet } from '../support/histories/fleet.js';
import { historyArb, live, tell, toldArb } from '../support/histories/histories.js';
import { shownTo } from '../support/histories/facts.js';
import { NOW } from '../support/histories/ways.js';
import { type Service, startService } from '../support/service.js';

const RUNS = Number(process.env.LONG_RUNS ?? 200);
const SEED = Number(process.env.LONG_SEED ?? Math.floor(Math.random() * 1e9));
const PATH = process.env.LONG_PATH ? { path: process.env.LONG_PATH } : {};
/** A find is made smaller for so long at most, and then told as it is. */
const SHRINKING_MS = 120_000;

describe(`random histories, seed ${SEED}`, () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: new Date(NOW).toISOString() });
  });
  afterAll(() => service.stop());

  /** Looks for a history that breaks the law; then for a smaller one like it. */
  async function hold<T>(arbitrary: fc.Arbitrary<T>, law: (value: T) => Promise<void>): Promise<void> {
    const property = fc.asyncProperty(arbitrary, law);
    const found = await fc.check(property, { seed: SEED, ...PATH, numRuns: RUNS, endOnFailure: true });
    if (!found.failed) return;
    if (found.counterexample === null) throw new Error(`stopped after ${found.numRuns} histories, all sound`);
    const path = found.counterexamplePath ?? '0';
    console.error(`Again: npm run test:long -- histories --seed ${SEED} --path ${path} --runs 1`);
    await fc.assert(property, { seed: SEED, path, numRuns: 1, interruptAfterTimeLimit: SHRINKING_MS });
    throw new Error(`a history that failed once did not fail again: ${fc.stringify(found.counterexample)}`);
  }

  it('lead to the same conclusions as the whole history, in any order of facts, decisions and changes', () =>
    hold(historyArb, async (history) => {
      expect(await differencesOf(await live(service, history))).toEqual([]);
    }));

  it('lead to the same conclusions in another order and other batches', () =>
    hold(toldArb, async (told) => {
      const fleets: [Fleet, Fleet] = await tell(service, told);
      expect(await shownTo(fleets[1])).toEqual(await shownTo(fleets[0]));
      expect(await differencesOf(...fleets)).toEqual([]);
    }));
});
