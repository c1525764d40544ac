import { openingOf } from '../circuit-opening.js';
import type { ReadingKind } from '../readings.js';
import { followUpsOfReading, settles } from './follow-ups-of-reading.js';
import { resets } from './resets.js';
import {
  COMPONENTS,
  type FollowUpJob,
  type FollowUpReading,
  type FollowUpUrgency,
  type OpenFollowUp,
  type WorkLine,
} from './types.js';

/** Components that cannot be replaced without opening the coolant circuit. */
const OPENS_THE_CIRCUIT = COMPONENTS.filter((component) => openingOf(component) !== 'none');

/** The engine must have warmed and cooled once before a level says anything; common practice. */
const HEAT_CYCLE_MS = 4 * 3_600_000;

const COOLANT: Pick<WorkLine, 'component' | 'item'> = { component: 'coolant', item: null };
const URGENCY: Record<FollowUpUrgency, number> = { soon: 0, recheck: 1, 'at-once': 2 };

/**
 * The one-off lines of a vehicle that are open, from its jobs and readings: common practice, no published source.
 *
 * Opened: `coolant`/`recheck` after the coolant circuit was opened, and by readings what `followUpsOfReading` says. Closed: by a later job line of the same kind or
 * stronger (see `resets`), or by readings that settle every cause (see `settles`); a recheck only after a heat cycle. Never a second of a kind while one is open: a worse cause
 * makes the open one more urgent from then on, and another cause has to be settled as well. Baseline reports open and close nothing.
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
    open = open.flatMap((followUp) => stillOpen(followUp, event) ?? []);
    for (const opened of openedBy(event)) {
      const at = open.findIndex((followUp) => isSameKind(followUp, opened));
      const same = open[at];
      if (same === undefined) open.push(opened);
      else open[at] = together(same, opened);
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

/** A follow-up as an event leaves it; null when it is done with. */
function stillOpen(followUp: OpenFollowUp, event: Event): OpenFollowUp | null {
  if (event.lines.some((line) => closesByLine(line, followUp))) return null;
  const settledBy = followUp.settledBy.filter(
    (kind) => !event.readings.some((reading) => isSettledBy(reading, followUp, kind)),
  );
  if (settledBy.length === followUp.settledBy.length) return followUp;
  return settledBy.length === 0 ? null : { ...followUp, settledBy };
}

function closesByLine(line: WorkLine, followUp: OpenFollowUp): boolean {
  if (resets(line, followUp)) return true;
  return followUp.action === 'recheck' && resets(line, { ...followUp, action: 'replace' });
}

function isSettledBy(reading: FollowUpReading, followUp: OpenFollowUp, kind: ReadingKind): boolean {
  const { evaluation, engineCold, item = null } = reading;
  // A strength judged by other limits tells whether to adjust it, and not that it was checked again.
  if (reading.isJudgedAnew === true && followUp.action !== 'adjust') return false;
  if (followUp.action === 'recheck' && reading.at - followUp.openedAt < HEAT_CYCLE_MS) return false;
  if (item !== null && followUp.item !== null && item !== followUp.item) return false;
  return settles({ kind: reading.kind, verdict: evaluation.verdict, engineCold }, followUp, kind);
}

/** Two causes of one line: the worse one tells how urgent it is, and both have to be settled. */
function together(open: OpenFollowUp, opened: OpenFollowUp): OpenFollowUp {
  const worse = URGENCY[opened.urgency] > URGENCY[open.urgency] ? opened : open;
  const settledBy = [...new Set([...open.settledBy, ...opened.settledBy])];
  return { ...worse, sourceId: open.sourceId, settledBy };
}

function openedBy(event: Event): OpenFollowUp[] {
  const opened: OpenFollowUp[] = [];
  if (hasOpenedCoolant(event)) {
    opened.push({
      ...COOLANT,
      action: 'recheck',
      sourceId: event.id,
      openedAt: event.at,
      urgency: 'recheck',
      cause: 'the coolant circuit was opened',
      settledBy: ['level-check'],
    });
  }
  for (const reading of event.readings) {
    for (const { settledBy, ...calledFor } of followUpsOfReading(reading.kind, reading.evaluation)) {
      opened.push({
        ...calledFor,
        item: calledFor.component === 'drive-belt' ? (reading.item ?? null) : null,
        sourceId: reading.id,
        openedAt: reading.at,
        settledBy: settledBy === null ? [] : [settledBy],
      });
    }
  }
  return opened;
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
