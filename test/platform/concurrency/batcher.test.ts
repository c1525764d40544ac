import { Batcher, BatcherByKey } from '../../../src/platform/concurrency/batcher.js';

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));
const SPLIT_IF_ODD = { isDueToOne: (error: unknown) => (error as Error).message === 'odd' };

describe('a batcher', () => {
  const batches: number[][] = [];
  const ends: (() => void)[] = [];
  beforeEach(() => {
    batches.length = 0;
    ends.length = 0;
  });

  /** Answers with ten times the question, once the test lets it. */
  async function whenLet(asks: number[]): Promise<number[]> {
    batches.push(asks);
    await new Promise<void>((resolve) => ends.push(resolve));
    return asks.map((ask) => 10 * ask);
  }

  it('asks together what arrives together, and puts what arrives meanwhile into the next batch', async () => {
    const batcher = new Batcher(whenLet, { concurrency: 1, size: 3 });
    const first = [1, 2].map((ask) => batcher.ask(ask));
    await turn();
    const later = [3, 4, 5, 6].map((ask) => batcher.ask(ask));
    await turn();
    expect(batches).toEqual([[1, 2]]);
    ends.shift()?.();
    expect(await Promise.all(first)).toEqual([10, 20]);
    await turn();
    expect(batches).toEqual([
      [1, 2],
      [3, 4, 5],
    ]);
    ends.shift()?.();
    await turn();
    ends.shift()?.();
    expect(await Promise.all(later)).toEqual([30, 40, 50, 60]);
    expect(batches.at(-1)).toEqual([6]);
  });

  it('runs as many batches at a time as allowed', async () => {
    const batcher = new Batcher(whenLet, { concurrency: 2, size: 10 });
    const first = batcher.ask(1);
    await turn();
    const second = batcher.ask(2);
    await turn();
    expect(batches).toEqual([[1], [2]]);
    for (const end of ends) end();
    expect(await Promise.all([first, second])).toEqual([10, 20]);
  });

  it('waits for more look-ups for as long as it is told', async () => {
    const batcher = new Batcher(whenLet, { concurrency: 1, size: 10, waitMs: 50 });
    const first = batcher.ask(1);
    await turn();
    const second = batcher.ask(2);
    while (ends.length === 0) await turn();
    ends.shift()?.();
    expect(await Promise.all([first, second])).toEqual([10, 20]);
    expect(batches).toEqual([[1, 2]]);
  });

  it('fails all look-ups of a batch if no single one can be the cause', async () => {
    const batcher = new Batcher<number, number>(() => Promise.reject(new Error('away')), {
      ...{ concurrency: 1, size: 10 },
      ...SPLIT_IF_ODD,
    });
    const outcomes = await Promise.allSettled([1, 2].map((ask) => batcher.ask(ask)));
    expect(outcomes.map(({ status }) => status)).toEqual(['rejected', 'rejected']);
  });

  it('repeats them one by one if a single one may be the cause, and answers all others', async () => {
    const batcher = new Batcher<number, number>(
      async (asks) => {
        batches.push(asks);
        if (asks.includes(13)) throw new Error('odd');
        return asks;
      },
      { concurrency: 1, size: 10, ...SPLIT_IF_ODD },
    );
    const outcomes = await Promise.allSettled([12, 13, 14].map((ask) => batcher.ask(ask)));
    expect(outcomes.map((outcome) => (outcome.status === 'fulfilled' ? outcome.value : null))).toEqual([
      12,
      null,
      14,
    ]);
    expect(batches).toEqual([[12, 13, 14], [12], [13], [14]]);
  });

  it('batches by key if one is given', async () => {
    const asked: string[] = [];
    const batcher = new BatcherByKey<number, string>(
      async (key, asks) => {
        asked.push(`${key} ${asks.join()}`);
        return asks.map((ask) => `${key}${ask}`);
      },
      { concurrency: 1, size: 10 },
    );
    const answers = await Promise.all([
      batcher.ask('a', 1),
      batcher.ask('b', 2),
      batcher.ask('a', 3),
      batcher.ask('b', 4),
    ]);
    expect(answers).toEqual(['a1', 'b2', 'a3', 'b4']);
    expect(asked).toEqual(['a 1,3', 'b 2,4']);
    await turn();
    expect(batcher.size).toBe(0);
  });
});
