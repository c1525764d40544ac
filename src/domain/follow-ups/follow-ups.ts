import type { OpenDefect } from '../defects/defect.js';
import type { SightingSpan } from '../faults/spans.js';
import { opensWhat } from '../faults/what-it-opens.js';
import { opensCircuit } from '../intervals/circuit-opening.js';
import { lineKey } from '../intervals/resets.js';
import { type CircuitName, isSameCircuit } from '../vehicles/circuits.js';
import type { CivilDate, Component, FollowUpJob, FollowUpUrgency, WorkLine } from '../intervals/types.js';
import type { Reading } from '../readings/kinds.js';
import type { Message } from '../message.js';
import { causesTold } from './causes-told.js';
import { findingsOfReading } from '../readings/findings-of-reading.js';
import { calledForBy, type Finding } from './follow-up-table.js';
import type { HotDay } from './hot-days.js';
import { isSeenAgain, seenAgain, SettledFaults } from './left-over.js';
import { defectCause, defectsTold, dueOnOf, pressOf, urgencyOf } from './reported-defects.js';
import { type FaultEvent, faultEventsOf, faultsTold, hotDayEventsOf } from './reported-faults.js';
import {
  type FollowUpCause,
  type FollowUpReading,
  isSettledByGoing,
  isSettledByReading,
  isSettledByWork,
  mayBeRepairedBy,
} from './settling.js';

/**
 * A one-off line that is open. `sourceId` is the job, reading, fault, hot day or defect that made
 * it: with component, action and item it is the line's key.
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
  /** What would have settled the worst finding, had its fault not been seen again afterwards. */
  seenAgainAfter: string | null;
  urgency: FollowUpUrgency;
  /** The day that was set for the worst finding; null: its urgency says when it is due. */
  dueOn: CivilDate | null;
  /** Why the line is open: every open finding, the worst first. */
  told: readonly Message[];
}

const COOLANT_RECHECK: WorkLine = { component: 'coolant', action: 'recheck', item: null };

/** What the vehicle and people reported, each in any order. */
export interface Reported {
  faults?: readonly SightingSpan[];
  /** The days on which its coolant temperatures show that it overheated. */
  hotDays?: readonly HotDay[];
  /** The circuit that faults and hot days are about; null: the first. */
  circuit?: CircuitName | null;
  /** The defects that nobody has closed. */
  defects?: readonly OpenDefect[];
}

/** A line with the findings that keep it open. */
interface Line extends WorkLine {
  sourceId: string;
  causes: FollowUpCause[];
}

/**
 * The one-off lines of a vehicle that are open, from its jobs and readings: common practice, no
 * published source.
 *
 * Opened: `coolant`/`recheck` after the coolant circuit was opened, and by readings and faults what
 * the table of findings says (`FOLLOW_UPS`). A line is open until each of its findings is settled
 * in the circuit where it was found, by a reading that the table names or by the new part that it
 * names; a bare job line settles no test, recheck, inspection or adjustment. What a fault opened is
 * settled unless the fault is seen again (`left-over.ts`). Readings of a job count in their order,
 * after its lines: one that fails and passes later in the same job leaves nothing open. Never a
 * second line of a kind while one is open: another finding joins it, and the worst one tells how
 * urgent it is. Baseline reports open and close nothing.
 *
 * @param jobs those not voided, in any order. @param readings those not voided, in any order, of
 * jobs and by themselves. @param reported what the vehicle and people reported, in any order.
 * @returns ascending by when they were opened.
 * @example followUpsOf([{ id: 'j', at: 0, lines: [{ component: 'coolant', action: 'replace', item: null }], isBaseline: false }], []) // [{ component: 'coolant', action: 'recheck', … }]
 */
export function followUpsOf(
  jobs: readonly FollowUpJob[],
  readings: readonly FollowUpReading[],
  { faults = [], hotDays = [], circuit: faultsIn = null, defects = [] }: Reported = {},
): OpenFollowUp[] {
  let open: Line[] = [];
  const settled = new SettledFaults();
  const reports = [...faultEventsOf(faults), ...hotDayEventsOf(hotDays)];
  for (const event of eventsOf(jobs, readings, reports, defects)) {
    open = afterWork(open, event, settled);
    open = afterReport(open, event, faultsIn, settled);
    if (event.defect !== null) add(open, event.defect, defectCause(event.defect));
    for (const circuit of openedCircuits(event)) {
      // The circuit was opened again: this job now asks for the level check that earlier ones asked
      // for.
      open = without(
        open,
        (cause) => cause.finding === 'circuit-opened' && isSameCircuit(cause, { circuit }),
        event,
        settled,
      );
      add(open, COOLANT_RECHECK, { ...causeOf('circuit-opened', event.id, null, event.at), circuit });
    }
    for (const reading of event.readings) {
      open = without(open, (cause) => isSettledAt(event, reading, cause), reading, settled);
      for (const finding of findingsOfReading(reading.canonical, reading.evaluation))
        add(open, lineOf(finding, reading), causeOf(finding, reading.id, reading, reading.at));
    }
  }
  return open.map(asOpen).sort((left, right) => left.openedAt - right.openedAt);
}

/** A job with its readings, a reading by itself, or what the vehicle or a person reported. */
interface Event extends Pick<FaultEvent, 'seen' | 'gone'> {
  id: string;
  at: number;
  lines: readonly WorkLine[];
  readings: readonly FollowUpReading[];
  defect: OpenDefect | null;
}

const NO_REPORT = { seen: null, gone: null, defect: null };

function eventsOf(
  jobs: readonly FollowUpJob[],
  readings: readonly FollowUpReading[],
  reports: readonly FaultEvent[],
  defects: readonly OpenDefect[],
): Event[] {
  const jobIds = new Set(jobs.map((job) => job.id));
  const ofJob = new Map<string, FollowUpReading[]>();
  const alone: Event[] = [];
  for (const reading of [...readings].sort(inOrder)) {
    if (reading.jobId === null || !jobIds.has(reading.jobId)) {
      alone.push({ id: reading.id, at: reading.at, lines: [], readings: [reading], ...NO_REPORT });
    } else {
      ofJob.set(reading.jobId, [...(ofJob.get(reading.jobId) ?? []), reading]);
    }
  }
  const done = jobs
    .filter((job) => !job.isBaseline)
    .map(({ id, at, lines }): Event => ({ id, at, lines, readings: ofJob.get(id) ?? [], ...NO_REPORT }));
  const nothing = { lines: [], readings: [], ...NO_REPORT };
  const reported = reports.map((event): Event => ({ ...nothing, ...event }));
  const told = defects.map((defect): Event => ({ ...nothing, id: defect.id, at: defect.at, defect }));
  const people = [...done, ...alone, ...told].sort(
    (left, right) => right.lines.length - left.lines.length || (left.id < right.id ? -1 : 1),
  );
  // At one instant, first what people did, then what the vehicle reports as gone, then the rest.
  const vehicle = reported.sort((left, right) => Number(right.gone !== null) - Number(left.gone !== null));
  return [...people, ...vehicle].sort((left, right) => left.at - right.at);
}

function inOrder(left: FollowUpReading, right: FollowUpReading): number {
  return left.at - right.at || (left.position ?? 0) - (right.position ?? 0) || (left.id < right.id ? -1 : 1);
}

/** What the lines of a job leave open, and which findings they may have mended. */
function afterWork(open: readonly Line[], event: Event, settled: SettledFaults): Line[] {
  const { at, lines } = event;
  const left = without(open, (cause) => lines.some((line) => isSettledByWork(cause, line)), event, settled);
  return left.map((followUp) => ({
    ...followUp,
    causes: followUp.causes.map((cause) => ({
      ...cause,
      isRepaired:
        cause.isRepaired || (!isSeenAgain(cause, at) && lines.some((line) => mayBeRepairedBy(cause, line))),
    })),
  }));
}

/** What a fault that was seen, or read as gone, leaves open. */
function afterReport(
  open: Line[],
  event: Event,
  circuit: CircuitName | null,
  settled: SettledFaults,
): Line[] {
  const { id, at, seen, gone } = event;
  if (gone !== null) return without(open, (cause) => isSettledByGoing(cause, gone, at), event, settled);
  if (seen === null) return open;
  for (const finding of opensWhat(seen.meaning)) {
    const openedAt = settled.openedAt(finding, seen, at);
    if (openedAt === null) continue;
    const { component, action } = calledForBy(finding);
    const cause = { ...causeOf(finding, id, null, openedAt), fault: seen, circuit };
    add(open, { component, action, item: null }, cause);
  }
  return open;
}

/** Whether a reading settles a finding; one of the same job may show that the job mended it. */
function isSettledAt({ lines }: Event, reading: FollowUpReading, cause: FollowUpCause): boolean {
  const isOfSameJob = reading.jobId !== null && reading.jobId === cause.reading?.jobId;
  const isRepaired = cause.isRepaired || (isOfSameJob && lines.some((line) => mayBeRepairedBy(cause, line)));
  return isSettledByReading({ ...cause, isRepaired }, reading);
}

/**
 * The lines less the findings that are settled; a line without any is closed.
 *
 * @param by what settles them, unless their fault is seen again afterwards
 * @param settled notes those that are settled
 */
function without(
  open: readonly Line[],
  isSettled: (cause: FollowUpCause) => boolean,
  { id, at }: Pick<Event, 'id' | 'at'>,
  settled: SettledFaults,
): Line[] {
  const leftOf = (cause: FollowUpCause): FollowUpCause[] => {
    if (!isSettled(cause)) return [cause];
    if (isSeenAgain(cause, at)) return [seenAgain(cause, id, at)];
    settled.note(cause, at);
    return [];
  };
  return open
    .map((line) => ({ ...line, causes: line.causes.flatMap(leftOf) }))
    .filter(({ causes }) => causes.length > 0);
}

/** Joins a finding to the line of its circuit, or opens one. */
function add(open: Line[], { component, action, item }: WorkLine, cause: FollowUpCause): void {
  const work = { component, action, item, circuit: cause.circuit };
  const same = open.find((line) => lineKey(line) === lineKey(work));
  if (same !== undefined) same.causes.push(cause);
  else open.push({ ...work, sourceId: cause.sourceId, causes: [cause] });
}

function causeOf(
  finding: Finding,
  sourceId: string,
  reading: FollowUpReading | null,
  openedAt: number,
): FollowUpCause {
  const circuit = reading?.circuit ?? null;
  return { finding, sourceId, reading, fault: null, defect: null, openedAt, isRepaired: false, circuit };
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
  const worstFirst = [...line.causes].sort((left, right) => pressOf(right) - pressOf(left));
  const worst = worstFirst[0]!;
  const faults = faultsTold(worstFirst);
  return {
    ...line,
    openedAt: worst.openedAt,
    worstSourceId: worst.sourceId,
    seenAgainAfter: worst.fault?.seenAgainAfter ?? null,
    urgency: urgencyOf(worst),
    dueOn: dueOnOf(worstFirst),
    told: [
      ...faults.first,
      ...causesTold(worstFirst.map(({ finding }) => finding)),
      ...faults.last,
      ...defectsTold(worstFirst),
    ],
  };
}

/** The circuits that a job opened or filled; null: the first. */
function openedCircuits({ lines, readings }: Event): Set<CircuitName | null> {
  const opening = [
    ...lines.filter(opensCircuit),
    ...readings.filter(({ canonical }) => canonical.kind === 'fill'),
  ];
  return new Set(opening.map(({ circuit }) => circuit ?? null));
}
