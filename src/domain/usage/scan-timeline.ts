import { ENGINE_HOURS_LIMITS, ODOMETER_LIMITS } from './counter-limits.js';
import { isSameMessage } from '../same-message.js';
import { message } from './messages.js';
import { CounterScan } from './scan-counter.js';
import type {
  Checkpoint,
  CounterVerdict,
  JudgedUsageReading,
  ScanOptions,
  Timeline,
  UsageReading,
} from './types.js';

/**
 * Judges the usage readings of one vehicle: which are believed and at which lifetime value, which
 * are held and why.
 *
 * A function of the set of readings: the order in which they arrived makes no difference (they are
 * taken by time, ties by value). The odometer and the engine hours are judged separately; a reading
 * is held when either is, and a lifetime value is given for each that is believed. Taken up from a
 * checkpoint it gives what a scan from the beginning gives. The rules are those of `judgeReading`
 * and `CounterScan`.
 *
 * @param readings in any order, km and h as the counters showed them, epoch milliseconds; finite
 * and not negative.
 * @example scanTimeline([{ id: 'a', at: 0, odometerKm: 100, … }, { id: 'b', at: 86_400_000, odometerKm: 90, … }]).readings[1].status // 'held'
 */
export function scanTimeline(readings: readonly UsageReading[], options: ScanOptions = {}): Timeline {
  const start = options.start ?? null;
  const sorted = inScanOrder(readings);
  const scans = scansFrom(start);
  const checkpoints: Checkpoint[] = [];
  let voidFrom: number | null = null;
  const duplicates = new Set<UsageReading>();
  sorted.forEach((reading, index) => {
    if (index > 0 && isSame(sorted[index - 1]!, reading)) duplicates.add(reading);
    else if (counts(reading))
      for (const at of takeIn(reading, scans)) voidFrom = Math.min(voidFrom ?? Infinity, at);
    const isLastOfInstant = sorted[index + 1]?.at !== reading.at;
    if (isLastOfInstant && scans.odometer.isClean && scans.engineHours.isClean)
      checkpoints.push(checkpointAt(reading.at, scans));
  });
  const judged = sorted.map((reading) => {
    const { odometer, engineHours } = verdictsOf(reading.id, scans);
    return judge(reading, duplicates.has(reading), odometer, engineHours);
  });
  const heads = (start?.heads ?? []).map(({ id }) => {
    const { odometer, engineHours } = verdictsOf(id, scans);
    return combine(id, odometer, engineHours);
  });
  return { readings: [...heads, ...judged], checkpoints, voidFrom };
}

/** The counters of one vehicle, each judged by itself. */
interface Scans {
  odometer: CounterScan;
  engineHours: CounterScan;
}

function scansFrom(start: Checkpoint | null): Scans {
  const odometer = new CounterScan(ODOMETER_LIMITS, start?.odometer ?? null);
  const engineHours = new CounterScan(ENGINE_HOURS_LIMITS, start?.engineHours ?? null);
  for (const head of start?.heads ?? []) {
    if (head.odometer) odometer.verdicts.set(head.id, head.odometer);
    if (head.engineHours) engineHours.verdicts.set(head.id, head.engineHours);
  }
  return { odometer, engineHours };
}

function verdictsOf(id: string, { odometer, engineHours }: Scans) {
  return {
    odometer: odometer.verdicts.get(id) ?? null,
    engineHours: engineHours.verdicts.get(id) ?? null,
  };
}

/**
 * Takes a reading into the scans of its counters. @returns the instants of the readings that it
 * contradicts
 */
function takeIn(reading: UsageReading, { odometer, engineHours }: Scans): number[] {
  const { id, at, source, odometerKm, engineHours: hours } = reading;
  const common = { id, at, source, forced: reading.decision === 'accepted' };
  return [
    odometerKm === null
      ? null
      : odometer.take({ ...common, raw: odometerKm, replaced: reading.odometerReplaced }),
    hours === null
      ? null
      : engineHours.take({ ...common, raw: hours, replaced: reading.engineHoursReplaced }),
  ].filter((contradictedAt) => contradictedAt !== null);
}

function checkpointAt(at: number, scans: Scans): Checkpoint {
  const { odometer, engineHours } = scans;
  const lastIds = new Set([odometer.state.lastId, engineHours.state.lastId].filter((id) => id !== null));
  const heads = [...lastIds].map((id) => ({ id, ...verdictsOf(id, scans) }));
  return { at, odometer: odometer.state, engineHours: engineHours.state, heads };
}

/**
 * Whether the last believed readings of a checkpoint are still judged as they were then. If not, a
 * scan that continues from it must judge them again: a reading that contradicts them may be voided.
 *
 * @param timeline of a scan that made the checkpoint, or was taken up from it.
 */
export function standsAsItWas({ heads }: Checkpoint, { readings }: Pick<Timeline, 'readings'>): boolean {
  return heads.every(({ id, odometer, engineHours }) => {
    const now = readings.find((reading) => reading.id === id);
    const then = combine(id, odometer, engineHours);
    return now === undefined || (now.status === then.status && isSameMessage(now.detail, then.detail));
  });
}

function counts(reading: UsageReading): boolean {
  return reading.decision === 'accepted' || (reading.decision === null && reading.heldAtArrival === null);
}

function judge(
  reading: UsageReading,
  isDuplicate: boolean,
  odometer: CounterVerdict | null,
  engineHours: CounterVerdict | null,
): JudgedUsageReading {
  const left = {
    id: reading.id,
    reason: null,
    detail: null,
    odometerLifetimeKm: null,
    engineHoursLifetime: null,
  };
  if (reading.decision === 'discarded' || reading.decision === 'voided')
    return { ...left, status: reading.decision };
  if (isDuplicate) return { ...left, status: 'duplicate' };
  if (reading.decision === null && reading.heldAtArrival !== null) {
    const detail = message('usage-in-the-future');
    return { ...left, status: 'held', reason: reading.heldAtArrival, detail };
  }
  return combine(reading.id, odometer, engineHours);
}

function combine(
  id: string,
  odometer: CounterVerdict | null,
  engineHours: CounterVerdict | null,
): JudgedUsageReading {
  const held = [odometer, engineHours].filter((verdict) => verdict !== null && 'reason' in verdict);
  const [first, second] = held;
  return {
    id,
    status: first ? 'held' : 'accepted',
    reason: first?.reason ?? null,
    detail:
      first && second
        ? message('usage-both-held', { odometer: first.detail, engineHours: second.detail })
        : (first?.detail ?? null),
    odometerLifetimeKm: odometer !== null && 'life' in odometer ? odometer.life : null,
    engineHoursLifetime: engineHours !== null && 'life' in engineHours ? engineHours.life : null,
  };
}

function isSame(left: UsageReading, right: UsageReading): boolean {
  return (
    left.at === right.at &&
    left.odometerKm === right.odometerKm &&
    left.engineHours === right.engineHours &&
    left.odometerReplaced === right.odometerReplaced &&
    left.engineHoursReplaced === right.engineHoursReplaced
  );
}

/**
 * Of equal readings the one with a manager's word comes first, so that posting it again does not
 * undo that word.
 */
function rank(reading: UsageReading): number {
  if (reading.decision === 'accepted') return 0;
  if (reading.decision !== null) return 1;
  return reading.heldAtArrival === null ? 2 : 3;
}

/**
 * Readings in the order in which they are judged: by time, ties by value. The order of arrival does
 * not matter.
 */
export function inScanOrder<T extends UsageReading>(readings: readonly T[]): T[] {
  return [...readings].sort(byTimeThenValue);
}

function byTimeThenValue(left: UsageReading, right: UsageReading): number {
  return (
    left.at - right.at ||
    (left.odometerKm ?? -1) - (right.odometerKm ?? -1) ||
    (left.engineHours ?? -1) - (right.engineHours ?? -1) ||
    Number(left.odometerReplaced) - Number(right.odometerReplaced) ||
    Number(left.engineHoursReplaced) - Number(right.engineHoursReplaced) ||
    rank(left) - rank(right) ||
    compare(left.source, right.source) ||
    compare(left.id, right.id)
  );
}

function compare(left: string, right: string): number {
  if (left === right) return 0;
  return left < right ? -1 : 1;
}
