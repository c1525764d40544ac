import { Gathering, GatheringByKey } from '../../src/platform/gathering.js';

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));
const ALONE_IF_ODD = { mayBeOnesFault: (error: unknown) => (error as Error).message === 'odd' };

describe('questions that are asked at about the same time', () => {
  const rounds: number[][] = [];
  const ends: (() => void)[] = [];
  beforeEach(() => {
    rounds.length = 0;
    ends.length = 0;
  });

  /** Answers with ten times the question, once the test lets it. */
  async function whenLet(asks: number[]): Promise<number[]> {
    rounds.push(asks);
    await new Promise<void>((resolve) => ends.push(resolve));
    return asks.map((ask) => 10 * ask);
  }

  it('go together, and those that come meanwhile share the next round, up to so many', async () => {
    const gathering = new Gathering(whenLet, { underWay: 1, atOnce: 3 });
    const first = [1, 2].map((ask) => gathering.ask(ask));
    await turn();
    const later = [3, 4, 5, 6].map((ask) => gathering.ask(ask));
    await turn();
    expect(rounds).toEqual([[1, 2]]);
    ends.shift()?.();
    expect(await Promise.all(first)).toEqual([10, 20]);
    await turn();
    expect(rounds).toEqual([
      [1, 2],
      [3, 4, 5],
    ]);
    ends.shift()?.();
    await turn();
    ends.shift()?.();
    expect(await Promise.all(later)).toEqual([30, 40, 50, 60]);
    expect(rounds.at(-1)).toEqual([6]);
  });

  it('are asked in as many rounds at a time as may be under way', async () => {
    const gathering = new Gathering(whenLet, { underWay: 2, atOnce: 10 });
    const first = gathering.ask(1);
    await turn();
    const second = gathering.ask(2);
    await turn();
    expect(rounds).toEqual([[1], [2]]);
    for (const end of ends) end();
    expect(await Promise.all([first, second])).toEqual([10, 20]);
  });

  it('wait for others to come for as long as they may', async () => {
    const gathering = new Gathering(whenLet, { underWay: 1, atOnce: 10, forMs: 50 });
    const first = gathering.ask(1);
    await turn();
    const second = gathering.ask(2);
    while (ends.length === 0) await turn();
    ends.shift()?.();
    expect(await Promise.all([first, second])).toEqual([10, 20]);
    expect(rounds).toEqual([[1, 2]]);
  });

  it('fail together, where it cannot be the fault of one', async () => {
    const gathering = new Gathering<number, number>(() => Promise.reject(new Error('away')), {
      ...{ underWay: 1, atOnce: 10 },
      ...ALONE_IF_ODD,
    });
    const outcomes = await Promise.allSettled([1, 2].map((ask) => gathering.ask(ask)));
    expect(outcomes.map(({ status }) => status)).toEqual(['rejected', 'rejected']);
  });

  it('are asked one by one, where it can: all but that one are answered', async () => {
    const gathering = new Gathering<number, number>(
      async (asks) => {
        rounds.push(asks);
        if (asks.includes(13)) throw new Error('odd');
        return asks;
      },
      { underWay: 1, atOnce: 10, ...ALONE_IF_ODD },
    );
    const outcomes = await Promise.allSettled([12, 13, 14].map((ask) => gathering.ask(ask)));
    expect(outcomes.map((outcome) => (outcome.status === 'fulfilled' ? outcome.value : null))).toEqual([
      12,
      null,
      14,
    ]);
    expect(rounds).toEqual([[12, 13, 14], [12], [13], [14]]);
  });

  it('go together only with those of the same key', async () => {
    const asked: string[] = [];
    const gathering = new GatheringByKey<number, string>(
      async (key, asks) => {
        asked.push(`${key} ${asks.join()}`);
        return asks.map((ask) => `${key}${ask}`);
      },
      { underWay: 1, atOnce: 10 },
    );
    const answers = await Promise.all([
      gathering.ask('a', 1),
      gathering.ask('b', 2),
      gathering.ask('a', 3),
      gathering.ask('b', 4),
    ]);
    expect(answers).toEqual(['a1', 'b2', 'a3', 'b4']);
    expect(asked).toEqual(['a 1,3', 'b 2,4']);
    await turn();
    expect(gathering.size).toBe(0);
  });
});
