import fc from 'fast-check';
import { concludeUsage, type ConcludedUsage } from '../../src/domain/conclusions/conclude-usage.js';
import { NeedsAllFacts } from '../../src/domain/conclusions/counter-view.js';
import { positionAt } from '../../src/domain/conclusions/placing.js';
import type {
  Position,
  StoredUsage,
  UsageConclusion,
  VehicleHistory,
} from '../../src/domain/conclusions/vehicle-history.js';
import { usageNeed } from '../../src/conclusions/load/usage-need.js';
import { STORE_AFTER_DAYS } from '../../src/domain/usage/checkpoints.js';
import { packMemory, unpackMemory } from '../../src/domain/usage/pack-memory.js';
import type { ReadingDecision } from '../../src/domain/usage/types.js';
import {
  DAY,
  DAYS,
  instantOf,
  kmShown,
  type Usage,
  usageArb,
  type Way,
  wayArb,
} from '../support/histories/ways.js';

const ZONE = 'America/Denver';
/** `npm run test:long -- usage-bit-by-bit --runs 20000 --seed 7` searches for longer. */
const RUNS = Number(process.env.LONG_RUNS ?? 1500);

const NOTHING = { at: null, lifetime: null, offset: null, rate: null };

/** One vehicle's usage as it is stored, and what is concluded from it change by change. */
class Ledger {
  readings: StoredUsage[] = [];
  positions = new Map<number, Position>();
  private summary: UsageConclusion = {
    distance: NOTHING,
    engineHours: NOTHING,
    checkpoints: [],
    memory: null,
  };

  constructor(
    private readonly way: Way,
    private readonly facts: readonly number[],
  ) {
    this.keep(concludeUsage(this.historyOf([], null), ZONE));
  }

  add(usages: readonly Usage[]): void {
    const added = usages.map((usage, index) => this.readingOf(usage, `r${this.readings.length + index}`));
    this.change(Math.min(...added.map(({ at }) => at)), added);
  }

  decide(which: number, decision: ReadingDecision): void {
    const from = decision === 'voided' ? 'accepted' : 'held';
    const open = this.readings.filter(({ status }) => status === from);
    const reading = open[which % Math.max(1, open.length)];
    if (!reading) return;
    reading.decision = decision;
    this.change(reading.at, []);
  }

  /** What all of the readings say, asked at once. */
  wholeConclusion(): { usage: ConcludedUsage; positions: Map<number, Position> } {
    const usage = concludeUsage(this.historyOf(this.readings, null), ZONE);
    return { usage, positions: new Map(this.facts.map((at) => [at, positionAt(at, usage, ZONE)])) };
  }

  get concluded(): UsageConclusion {
    return this.summary;
  }

  private readingOf(usage: Usage, id: string): StoredUsage {
    const { replacedOn } = this.way;
    const isReplacement = usage.shown === 'replaced' && replacedOn !== null;
    const when = isReplacement ? { ...usage, day: replacedOn, minute: usage.minute % 5 } : usage;
    const shown = usage.shown === 'replaced' && !isReplacement ? 'good' : usage.shown;
    const hours = 1000 + usage.day * 2 + usage.minute / 720;
    return {
      ...{ id, at: instantOf(when), source: usage.source, decision: null, heldAtArrival: null },
      odometerKm: kmShown([this.way], { ...when, vehicle: 0 }, shown),
      engineHours: usage.hours === 'none' ? null : usage.hours === 'good' ? hours : hours * 10,
      ...{ odometerReplaced: isReplacement, engineHoursReplaced: false },
      ...{ status: 'new', reason: null, detail: null, odometerLifetimeKm: null, engineHoursLifetime: null },
      isNew: true,
    };
  }

  private change(changedFrom: number, added: StoredUsage[]): void {
    const stored = this.asLoaded(changedFrom);
    const { need, start, memory } = usageNeed('v', stored, changedFrom);
    const since = need.since ?? -Infinity;
    const loaded = [...this.readings.filter(({ at }) => at >= since), ...added].sort(inTime);
    const history = this.historyOf(loaded, { start, memory, isComplete: this.isAll(need) });
    history.summary = stored;
    this.readings = [...this.readings, ...added].sort(inTime);
    try {
      this.keep(concludeUsage(history, ZONE));
    } catch (error) {
      if (!(error instanceof NeedsAllFacts)) throw error;
      this.keep(concludeUsage({ ...this.historyOf(this.readings, null), summary: stored }, ZONE));
    }
  }

  private isAll({ since, asksForEarlier }: { since: number | null; asksForEarlier: boolean }): boolean {
    return since === null || (asksForEarlier && this.readings.every(({ at }) => at >= since));
  }

  /** The summary with its checkpoints where the statement that loads it brings them. */
  private asLoaded(changedFrom: number): UsageConclusion {
    const { checkpoints, memory } = this.summary;
    const until = checkpoints?.at(-1)?.at ?? null;
    const isNeeded =
      memory === null ||
      changedFrom <= memory.checkpoint.at ||
      until === null ||
      memory.checkpoint.at - until > STORE_AFTER_DAYS * DAY;
    return { ...this.summary, checkpoints: isNeeded ? checkpoints : null };
  }

  private keep(usage: ConcludedUsage): void {
    for (const at of this.facts)
      if (!this.positions.has(at) || at >= (usage.placedFrom ?? Infinity))
        this.positions.set(at, positionAt(at, usage, ZONE));
    const judged = new Map([...usage.judged, ...usage.judgedNew].map((one) => [one.id, one]));
    this.readings = this.readings.map(({ isNew: _isNew, ...reading }) => ({
      ...reading,
      ...judged.get(reading.id),
    }));
    const { checkpoints, memory, ...counters } = usage.conclusion();
    this.summary = {
      ...(JSON.parse(JSON.stringify(counters)) as Pick<UsageConclusion, 'distance' | 'engineHours'>),
      checkpoints: checkpoints === null ? this.summary.checkpoints : JSON.parse(JSON.stringify(checkpoints)),
      memory: memory && unpackMemory(JSON.parse(JSON.stringify(packMemory(memory)))),
    };
  }

  private historyOf(
    readings: StoredUsage[],
    from: Pick<VehicleHistory['usage'], 'start' | 'memory' | 'isComplete'> | null,
  ): VehicleHistory {
    const { start, memory, isComplete } = from ?? { start: null, memory: null, isComplete: true };
    const usage = { readings, start, memory, isComplete, isChanged: true };
    const declared = { inUseMonths: null, expectedDailyKm: 40, expectedDailyHours: null };
    return { usage, summary: this.summary, ...declared } as VehicleHistory;
  }
}

const inTime = (left: StoredUsage, right: StoredUsage): number =>
  left.at - right.at || (left.id < right.id ? -1 : 1);

const changeArb = fc.oneof(
  { weight: 3, arbitrary: fc.record({ add: fc.array(usageArb, { minLength: 1, maxLength: 5 }) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      which: fc.nat(20),
      decision: fc.constantFrom<ReadingDecision>('accepted', 'discarded', 'voided'),
    }),
  },
);
type Change = typeof changeArb extends fc.Arbitrary<infer T> ? T : never;

const factsArb = fc.array(fc.integer({ min: 0, max: DAYS * 24 }), { minLength: 1, maxLength: 6 });

function live(way: Way, hours: readonly number[], changes: readonly Change[]): Ledger {
  const start = instantOf({ vehicle: 0, day: 0, minute: 0 });
  const ledger = new Ledger(
    way,
    hours.map((hour) => start + (hour * DAY) / 24),
  );
  for (const change of changes) {
    if ('add' in change) ledger.add(change.add);
    else ledger.decide(change.which, change.decision);
  }
  return ledger;
}

function assertAsFromAll(ledger: Ledger): void {
  const { usage, positions } = ledger.wholeConclusion();
  expect(
    usage.judged.map(({ id, status, detail }) => `${id} is ${status}: ${JSON.stringify(detail)}`),
  ).toEqual([]);
  expect(ledger.concluded.distance).toEqual(usage.distance.conclusion);
  expect(ledger.concluded.engineHours).toEqual(usage.engineHours.conclusion);
  expect(ledger.positions).toEqual(positions);
}

describe('usage concluded change by change', () => {
  it('is what all of the readings say, in whatever order they and the decisions about them came', () => {
    fc.assert(
      fc.property(wayArb, factsArb, fc.array(changeArb, { minLength: 2, maxLength: 20 }), (...history) =>
        assertAsFromAll(live(...history)),
      ),
      { numRuns: RUNS },
    );
  });

  // Each of these came to something else once; found by the property above.
  const used = (day: number, minute: number, more: Partial<Usage> = {}): Usage => ({
    ...{ vehicle: 0, day, minute, shown: 'good', hours: 'none', source: 'dash' },
    ...more,
  });
  const accept = { which: 0, decision: 'accepted' } as const;

  it('does not go on from a reading that was contradicted since, while the other counter is in doubt', () => {
    const slipped = { hours: 'typed ten times' } as const;
    const ledger = live(
      { kmPerDay: 10, kmPerDayLater: 10, replacedOn: 60 },
      [0],
      [
        { add: [used(0, 1, { hours: 'good' }), used(63, 0), used(0, 0)] },
        { add: [used(0, 0, slipped), used(0, 0)] },
        {
          add: [
            used(72, 40, { shown: 'replaced', ...slipped }),
            ...[used(63, 0, { shown: 'in miles', hours: 'good' }), used(0, 0)],
          ],
        },
        { which: 10, decision: 'accepted' },
      ],
    );
    assertAsFromAll(ledger);
  });

  it('goes by the reading that is judged last of several at one instant, not by the last to arrive', () => {
    const ledger = live(
      { kmPerDay: 10, kmPerDayLater: 10, replacedOn: 60 },
      [0],
      [
        { add: [used(96, 0), used(0, 0)] },
        { add: [used(0, 0, { shown: 'replaced' }), used(96, 0, { shown: 'in miles' }), used(0, 0)] },
        accept,
      ],
    );
    assertAsFromAll(ledger);
  });

  it('places what happened before a reading anew, when that reading is believed again', () => {
    const way = { kmPerDay: 46, kmPerDayLater: 194, replacedOn: 178 };
    const replaced = { shown: 'replaced' } as const;
    const ledger = live(
      way,
      [1, 0],
      [
        { add: [used(178, 1), used(0, 0)] },
        { which: 0, decision: 'voided' },
        { add: [used(0, 0, replaced)] },
        {
          add: [
            ...[used(0, 111, replaced), used(177, 303, { shown: 'in miles' }), used(78, 2)],
            ...[used(0, 1), used(178, 2)],
          ],
        },
        accept,
        { which: 7, decision: 'voided' },
        accept,
      ],
    );
    assertAsFromAll(ledger);
  });

  it('finds the rate from the half year before the last reading that is left, when later ones are voided', () => {
    const slipped = { hours: 'typed ten times' } as const;
    const ledger = live(
      { kmPerDay: 10, kmPerDayLater: 10, replacedOn: null },
      [0],
      [
        { add: [used(82, 3)] },
        { add: [used(1, 0), used(0, 1), used(0, 0, slipped)] },
        { add: [used(2, 0, slipped), used(0, 2)] },
        { add: [used(14, 0, { shown: 'far back', ...slipped }), used(0, 0)] },
        { add: [used(182, 3, slipped), used(0, 3, { shown: 'in miles', ...slipped })] },
        { which: 7, decision: 'voided' },
      ],
    );
    assertAsFromAll(ledger);
  });
});
