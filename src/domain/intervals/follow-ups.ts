import { resets } from './resets.js';
import type {
  Component,
  FollowUpJob,
  FollowUpReading,
  FollowUpUrgency,
  OpenFollowUp,
  WorkLine,
} from './types.js';

/** Components that cannot be replaced without opening the coolant circuit. */
const OPENS_THE_CIRCUIT: readonly Component[] = [
  'water-pump',
  'thermostat',
  'radiator',
  'upper-hose',
  'lower-hose',
  'heater-hose',
  'bypass-hose',
  'heater-core',
  'reservoir',
  'coolant-filter',
  'oil-cooler',
  'egr-cooler',
  'temperature-sensor',
];

/** The engine must have warmed and cooled once before a level says anything; common practice. */
const HEAT_CYCLE_MS = 4 * 3_600_000;

const COOLANT: Pick<WorkLine, 'component' | 'item'> = { component: 'coolant', item: null };
const URGENCY: Record<FollowUpUrgency, number> = { soon: 0, recheck: 1, 'at-once': 2 };

/**
 * The one-off lines of a vehicle that are open, from its jobs and readings: common practice, no published source.
 *
 * Opened: after the coolant circuit was opened `coolant`/`recheck`; by a failing hold test `coolant`/`test`, freeze point `coolant`/`adjust`,
 * fill, warm-up or level check `coolant`/`recheck`, belt check `drive-belt`/`adjust`, another coolant poured in `coolant`/`replace`; by an
 * inconclusive hold test or freeze point the same, less urgently. A torque outside its limits opens none: it is put right before the vehicle leaves.
 * Closed: by a later job line of the same kind or stronger (see `resets`), a recheck by a cold level check after a heat cycle, a test by a
 * passed hold test, an adjustment by a passed freeze point or belt check. Never a second of a kind while one is open: a worse cause makes the open
 * one more urgent from then on. Baseline reports open and close nothing.
 *
 * @param jobs those not voided, in any order. @param readings those not voided, in any order, of jobs and by themselves.
 * @returns ascending by when they were opened.
 * @example followUpsOf([{ id: 'j', at: 0, lines: [{ component: 'coolant', action: 'replace', item: null }], isBaseline: false }], []) // [{ component: 'coolant', action: 'recheck', … }]
 */
export function followUpsOf(
  jobs: readonly FollowUpJob[],
  readings: readonly FollowUpReading[],
): OpenFollowUp[] {
  let open: OpenFollowUp[] = [];
  for (const event of eventsOf(jobs, readings)) {
    open = open.filter((followUp) => !isClosedBy(event, followUp));
    for (const opened of openedBy(event)) {
      const same = open.find((followUp) => isSameKind(followUp, opened));
      if (!same) open.push(opened);
      else if (URGENCY[opened.urgency] > URGENCY[same.urgency]) {
        open[open.indexOf(same)] = { ...opened, sourceId: same.sourceId };
      }
    }
  }
  return open.sort((left, right) => left.openedAt - right.openedAt);
}

/** A job with its readings, or a reading by itself. */
interface Event {
  id: string;
  at: number;
  lines: readonly WorkLine[];
  readings: readonly FollowUpReading[];
}

function eventsOf(jobs: readonly FollowUpJob[], readings: readonly FollowUpReading[]): Event[] {
  const jobIds = new Set(jobs.map((job) => job.id));
  const ofJob = new Map<string, FollowUpReading[]>();
  const alone: Event[] = [];
  for (const reading of [...readings].sort(
    (left, right) => left.at - right.at || (left.id < right.id ? -1 : 1),
  )) {
    if (reading.jobId === null || !jobIds.has(reading.jobId)) {
      alone.push({ id: reading.id, at: reading.at, lines: [], readings: [reading] });
    } else {
      ofJob.set(reading.jobId, [...(ofJob.get(reading.jobId) ?? []), reading]);
    }
  }
  const done = jobs
    .filter((job) => !job.isBaseline)
    .map((job): Event => ({ id: job.id, at: job.at, lines: job.lines, readings: ofJob.get(job.id) ?? [] }));
  return [...done, ...alone].sort(
    (left, right) =>
      left.at - right.at || right.lines.length - left.lines.length || (left.id < right.id ? -1 : 1),
  );
}

function isClosedBy(event: Event, followUp: OpenFollowUp): boolean {
  if (event.lines.some((line) => closesByLine(line, followUp))) return true;
  return event.readings.some((reading) => closesByReading(reading, followUp));
}

function closesByLine(line: WorkLine, followUp: OpenFollowUp): boolean {
  if (resets(line, followUp)) return true;
  return followUp.action === 'recheck' && resets(line, { ...followUp, action: 'replace' });
}

function closesByReading(reading: FollowUpReading, followUp: OpenFollowUp): boolean {
  const kind = `${followUp.component}/${followUp.action}`;
  if (kind === 'coolant/recheck') {
    return (
      reading.kind === 'level-check' &&
      reading.engineCold !== false &&
      reading.at - followUp.openedAt >= HEAT_CYCLE_MS
    );
  }
  if (reading.verdict !== 'pass') return false;
  if (kind === 'coolant/test') return reading.kind === 'hold-test';
  if (kind === 'coolant/adjust') return reading.kind === 'freeze-point';
  if (kind !== 'drive-belt/adjust' || reading.kind !== 'belt-check') return false;
  const item = reading.item ?? null;
  return item === null || followUp.item === null || item === followUp.item;
}

function openedBy(event: Event): OpenFollowUp[] {
  const opened: OpenFollowUp[] = [];
  const open = (line: WorkLine, sourceId: string, at: number, urgency: FollowUpUrgency, cause: string) =>
    opened.push({ ...line, sourceId, openedAt: at, urgency, cause });
  if (hasOpenedCoolant(event)) {
    open({ ...COOLANT, action: 'recheck' }, event.id, event.at, 'recheck', 'the coolant circuit was opened');
  }
  for (const reading of event.readings) {
    const { id, at, kind, verdict } = reading;
    if (verdict === 'fail') {
      const line = followUpOfFailure(reading);
      if (line) open(line, id, at, line.action === 'recheck' ? 'recheck' : 'at-once', `${kind} failed`);
    } else if (verdict === 'inconclusive' && (kind === 'hold-test' || kind === 'freeze-point')) {
      const action = kind === 'hold-test' ? 'test' : 'adjust';
      open({ ...COOLANT, action }, id, at, 'soon', `${kind} was inconclusive`);
    }
  }
  return opened;
}

function followUpOfFailure(reading: FollowUpReading): WorkLine | null {
  if (reading.wrongCoolant) return { ...COOLANT, action: 'replace' };
  switch (reading.kind) {
    case 'hold-test':
      return { ...COOLANT, action: 'test' };
    case 'freeze-point':
      return { ...COOLANT, action: 'adjust' };
    case 'fill':
    case 'warm-up-check':
    case 'level-check':
      return { ...COOLANT, action: 'recheck' };
    case 'belt-check':
      return { component: 'drive-belt', action: 'adjust', item: reading.item ?? null };
    default:
      return null;
  }
}

function hasOpenedCoolant(event: Event): boolean {
  if (event.readings.some((reading) => reading.kind === 'fill')) return true;
  return event.lines.some(({ component, action }) =>
    component === 'coolant'
      ? action === 'replace' || action === 'flush'
      : action === 'replace' && OPENS_THE_CIRCUIT.includes(component),
  );
}

function isSameKind(left: WorkLine, right: WorkLine): boolean {
  return left.component === right.component && left.action === right.action && left.item === right.item;
}
