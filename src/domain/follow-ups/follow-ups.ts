import { opensCircuit } from '../intervals/circuit-opening.js';
import { lineKey } from '../intervals/resets.js';
import { type Component, type FollowUpJob, type FollowUpUrgency, type WorkLine } from '../intervals/types.js';
import type { Reading } from '../readings/kinds.js';
import type { Message } from '../message.js';
import { causesTold } from './causes-told.js';
import { findingsOfReading } from '../readings/findings-of-reading.js';
import { calledForBy, type Finding } from './follow-up-table.js';
import {
  type FollowUpCause,
  type FollowUpReading,
  isSettledByReading,
  isSettledByWork,
  mayBeRepairedBy,
} from './settling.js';

/**
 * A one-off line that is open. `sourceId` is the job or reading that made it: with component,
 * action and item it is the line's key.
 */
export interface OpenFollowUp extends WorkLine {
  sourceId: string;
  /** The findings not settled yet, at least one, in the order they were made. */
  causes: readonly FollowUpCause[];
  /**
   * The worst finding's, the first of several that are as bad: when and by what it was made, how
   * urgent it is.
   */
  openedAt: number;
  worstSourceId: string;
  urgency: FollowUpUrgency;
  /** Why the line is open: every open finding, the worst first. */
  told: readonly Message[];
}

const COOLANT_RECHECK: WorkLine = { component: 'coolant', action: 'recheck', item: null };
const URGENCY: Record<FollowUpUrgency, number> = { soon: 0, recheck: 1, 'at-once': 2 };

/** A line with the findings that keep it open. */
interface Line extends WorkLine {
  sourceId: string;
  causes: FollowUpCause[];
}

/**
 * The one-off lines of a vehicle that are open, from its jobs and readings: common practice, no
 * published source.
 *
 * Opened: `coolant`/`recheck` after the coolant circuit was opened, and by readings what the table
 * of findings says (`FOLLOW_UPS`). A line is open until each of
 * its findings is settled, by a reading that the table names or by the new part that it names; a
 * bare job line settles no test, recheck, inspection or
 * adjustment. Readings of a job count in their order, after its lines: one that fails and passes
 * later in the same job leaves nothing open. Never a second line of
 * a kind while one is open: another finding joins it, and the worst one tells how urgent it is.
 * Baseline reports open and close nothing.
 *
 * @param jobs those not voided, in any order. @param readings those not voided, in any order, of
 * jobs and by themselves.
 * @returns ascending by when they were opened.
 * @example followUpsOf([{ id: 'j', at: 0, lines: [{ component: 'coolant', action: 'replace', item: null }], isBaseline: false }], []) // [{ component: 'coolant', action: 'recheck', … }]
 */
export function followUpsOf(
  jobs: readonly FollowUpJob[],
  readings: readonly FollowUpReading[],
): OpenFollowUp[] {
  let open: Line[] = [];
  for (const event of eventsOf(jobs, readings)) {
    open = afterWork(open, event);
    if (hasOpenedCoolant(event)) {
      // The circuit was opened again: this job now asks for the level check that earlier ones asked
      // for.
      open = without(open, ({ finding }) => finding === 'circuit-opened');
      add(open, COOLANT_RECHECK, causeOf('circuit-opened', event.id, null, event.at));
    }
    for (const reading of event.readings) {
      open = without(open, (cause) => isSettledAt(event, reading, cause));
      for (const finding of findingsOfReading(reading.canonical, reading.evaluation))
        add(open, lineOf(finding, reading), causeOf(finding, reading.id, reading, reading.at));
    }
  }
  return open.map(asOpen).sort((left, right) => left.openedAt - right.openedAt);
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
  for (const reading of [...readings].sort(inOrder)) {
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

function inOrder(left: FollowUpReading, right: FollowUpReading): number {
  return left.at - right.at || (left.position ?? 0) - (right.position ?? 0) || (left.id < right.id ? -1 : 1);
}

/** What the lines of a job leave open, and which findings they may have mended. */
function afterWork(open: readonly Line[], { lines }: Event): Line[] {
  const left = without(open, (cause) => lines.some((line) => isSettledByWork(cause, line)));
  return left.map((followUp) => ({
    ...followUp,
    causes: followUp.causes.map((cause) => ({
      ...cause,
      isRepaired: cause.isRepaired || lines.some((line) => mayBeRepairedBy(cause, line)),
    })),
  }));
}

/** Whether a reading settles a finding; one of the same job may show that the job mended it. */
function isSettledAt({ lines }: Event, reading: FollowUpReading, cause: FollowUpCause): boolean {
  const isOfSameJob = reading.jobId !== null && reading.jobId === cause.reading?.jobId;
  const isRepaired = cause.isRepaired || (isOfSameJob && lines.some((line) => mayBeRepairedBy(cause, line)));
  return isSettledByReading({ ...cause, isRepaired }, reading);
}

/** The lines less the findings that are settled; a line without any is closed. */
function without(open: readonly Line[], isSettled: (cause: FollowUpCause) => boolean): Line[] {
  return open
    .map((line) => ({ ...line, causes: line.causes.filter((cause) => !isSettled(cause)) }))
    .filter(({ causes }) => causes.length > 0);
}

function add(open: Line[], { component, action, item }: WorkLine, cause: FollowUpCause): void {
  const same = open.find((line) => lineKey(line) === lineKey({ component, action, item }));
  if (same !== undefined) same.causes.push(cause);
  else open.push({ component, action, item, sourceId: cause.sourceId, causes: [cause] });
}

function causeOf(
  finding: Finding,
  sourceId: string,
  reading: FollowUpReading | null,
  openedAt: number,
): FollowUpCause {
  return { finding, sourceId, reading, openedAt, isRepaired: false };
}

function lineOf(finding: Finding, { canonical, limits }: FollowUpReading): WorkLine {
  const { component, action } = calledForBy(finding, componentOfFastener(canonical, limits));
  return { component, action, item: itemOf(component, canonical) };
}

function componentOfFastener(reading: Reading, limits: FollowUpReading['limits']): Component | undefined {
  if (reading.kind !== 'torque-set') return undefined;
  const group = limits?.fasteners?.find(({ name }) => name === reading.fastener);
  return (group as { component?: Component | null } | undefined)?.component ?? undefined;
}

function itemOf(component: Component, reading: Reading): string | null {
  if (reading.kind === 'torque-set') return reading.fastener;
  if (reading.kind === 'tensioner-check') return reading.item ?? null;
  const isAboutBelt = reading.kind === 'belt-check' || reading.kind === 'belt-tension';
  return isAboutBelt && component === 'drive-belt' ? (reading.item ?? null) : null;
}

function asOpen(line: Line): OpenFollowUp {
  const urgencyOf = ({ finding }: FollowUpCause): number => URGENCY[calledForBy(finding).urgency];
  const worstFirst = [...line.causes].sort((left, right) => urgencyOf(right) - urgencyOf(left));
  const worst = worstFirst[0]!;
  return {
    ...line,
    openedAt: worst.openedAt,
    worstSourceId: worst.sourceId,
    urgency: calledForBy(worst.finding).urgency,
    told: causesTold(worstFirst.map(({ finding }) => finding)),
  };
}

function hasOpenedCoolant(event: Event): boolean {
  if (event.readings.some((reading) => reading.canonical.kind === 'fill')) return true;
  return event.lines.some(opensCircuit);
}
