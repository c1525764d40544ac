import type { BeltCheckReading } from '../belt/belt-check.js';
import type { CombustionGasTestReading } from '../checks/combustion-gas-test.js';
import type { OpenDefect } from '../defects/defect.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import type { FaultMeaning } from '../faults/meanings.js';
import type { Action, Component, WorkLine } from '../intervals/types.js';
import type { Reading, ReadingKind } from '../readings/kinds.js';
import type { ReadingContext } from '../readings/contract/reading-context.js';
import { type InCircuit, isSameCircuit } from '../vehicles/circuits.js';
import { calledForBy, type Finding, type SettledBy } from './follow-up-table.js';
import { isMeasuredAgain } from './measured-again.js';

/** A day on which the coolant was at or above the alarm, as it is told. */
export interface HotDayTold {
  /** YYYY-MM-DD */
  day: string;
  highestC: number;
  alarmC: number;
}

/** What the vehicle reported, as far as a follow-up goes by it. Instants are epoch milliseconds. */
export interface ReportedFault {
  /** As it is shown: 'SPN 110 FMI 0'; null: its coolant temperatures say so, and no code. */
  code: string | null;
  meaning: FaultMeaning;
  /** The day that its temperatures are of; null for a code. */
  hotDay: HotDayTold | null;
  /** When it was last seen active. */
  lastAt: number;
  /** It was seen active before, and not read as gone since. */
  goesOn: boolean;
  /** It was read as gone between two sightings that lie together. */
  comesAndGoes: boolean;
  /** What would have settled it, had it not been seen again afterwards. */
  seenAgainAfter: string | null;
}

export interface FollowUpReading extends InCircuit {
  id: string;
  jobId: string | null;
  /** Its position among the readings of its job; null for one outside a job. */
  position?: number | null;
  at: number;
  canonical: Reading;
  evaluation: Pick<Evaluation, 'verdict' | 'computed'>;
  /** The part of its spec sheet that says which component a fastener belongs to. */
  limits?: Pick<ReadingContext, 'fasteners'>;
  /** An earlier reading judged again by other limits: nothing new was measured. */
  isJudgedAnew?: boolean;
}

/** Why a follow-up is open: one finding that is not settled yet. */
export interface FollowUpCause extends InCircuit {
  finding: Finding;
  /** The reading, job, fault or defect that it comes from. */
  sourceId: string;
  /** The reading that found it; null for what a job did and what the vehicle reported. */
  reading: FollowUpReading | null;
  /** What the vehicle reported; null for what people found. */
  fault: ReportedFault | null;
  /** The defect that a person reported; null for anything measured, done or sent by the vehicle. */
  defect: OpenDefect | null;
  openedAt: number;
  /** Whether a part that may have caused it was replaced since. */
  isRepaired: boolean;
}

/** The engine must have warmed and cooled once before a level says anything; common practice. */
const HEAT_CYCLE_MS = 4 * 3_600_000;

/** A new belt must have run before its tension is read again; common practice, no source. */
const RUN_IN_MS = 30 * 60_000;

/** Parts through which oil reaches the coolant; "other" is for what has no name of its own. */
const LETS_OIL_THROUGH: readonly Component[] = ['oil-cooler', 'head-gasket', 'egr-cooler', 'other'];

/**
 * Parts through which combustion gas reaches the coolant; a head or a liner has no name of its own.
 */
const LETS_GAS_THROUGH: readonly Component[] = ['head-gasket', 'injector-sleeve', 'egr-cooler', 'other'];

type ByReading = (reading: FollowUpReading, cause: FollowUpCause) => boolean;
type ByWork = (line: WorkLine, cause: FollowUpCause) => boolean;

const passed =
  (kind: ReadingKind): ByReading =>
  ({ canonical, evaluation }) =>
    canonical.kind === kind && evaluation.verdict === 'pass';

const BY_READING: Partial<Record<SettledBy, ByReading>> = {
  'pressure-test': (reading, cause) =>
    passed('hold-test')(reading, cause) &&
    isAsHard(reading, cause) &&
    reading.canonical.kind === 'hold-test' &&
    reading.canonical.method === 'pressure',
  'hold-test': (reading, cause) => passed('hold-test')(reading, cause) && isAsHard(reading, cause),
  'freeze-point': passed('freeze-point'),
  // A failed one calls for an adjustment by itself. Judged by other limits, nothing was read again.
  'strength-read': ({ canonical, evaluation, isJudgedAnew }) =>
    canonical.kind === 'freeze-point' && evaluation.verdict !== 'inconclusive' && isJudgedAnew !== true,
  'torque-set': (reading, cause) => passed('torque-set')(reading, cause) && isOfSameFasteners(reading, cause),
  'full-belt-check': (reading, cause) => passed('belt-check')(reading, cause) && isFullCheck(reading, cause),
  'belt-tension': (reading, cause) => passed('belt-tension')(reading, cause) && isOfSameBelt(reading, cause),
  'tension-after-run-in': (reading, cause) =>
    passed('belt-tension')(reading, cause) && isOfSameBelt(reading, cause) && hasRunIn(reading, cause),
  'full-tensioner-check': (reading, cause) =>
    passed('tensioner-check')(reading, cause) &&
    isOfSameBelt(reading, cause) &&
    isFullTensionerCheck(reading, cause),
  'conductivity-read': passed('conductivity'),
  'cap-test': passed('cap-test'),
  'warm-up-check': passed('warm-up-check'),
  'warm-up-with-new-thermostat': (reading, cause) =>
    cause.isRepaired && passed('warm-up-check')(reading, cause),
  'road-test': passed('road-test'),
  'level-check': isLevelRead,
  fill: passed('fill'),
  // Acid coolant always fails, so a pH without a known limit counts as within none.
  'measured-again': (reading, cause) =>
    (passed('coolant-condition')(reading, cause) ||
      (cause.finding === 'acid' && reading.evaluation.verdict === null)) &&
    measuresAgain(reading, cause),
  'clear-after-repair': (reading, cause) =>
    cause.isRepaired && passed('coolant-condition')(reading, cause) && measuresAgain(reading, cause),
  // A sheet without limits gives no verdict.
  'condition-read': ({ canonical, evaluation: { verdict } }) =>
    canonical.kind === 'coolant-condition' && (verdict === 'pass' || verdict === null),
  'no-gas-after-repair': ({ canonical, evaluation: { verdict } }, { isRepaired }) =>
    canonical.kind === 'combustion-gas-test' && isRepaired && (verdict === 'pass' || isClear(canonical)),
  // A positive one calls for the head gasket by itself.
  'gas-test': ({ canonical, evaluation: { verdict } }) =>
    canonical.kind === 'combustion-gas-test' &&
    (canonical.positive || verdict === 'pass' || isClear(canonical)),
  'cold-level': (reading, cause) =>
    passed('level-check')(reading, cause) &&
    reading.canonical.kind === 'level-check' &&
    reading.canonical.engineCold === true,
};

const BY_WORK: Partial<Record<SettledBy, ByWork>> = {
  'new-belt': (line, { reading }) =>
    line.component === 'drive-belt' && line.action === 'replace' && isSameItem(line.item, beltOf(reading)),
  'new-tensioner': (line, { reading }) =>
    line.component === 'tensioner' && line.action === 'replace' && isSameItem(line.item, beltOf(reading)),
  'new-cap': ({ component, action }) => component === 'radiator-cap' && action === 'replace',
  flush: ({ component, action }) => component === 'coolant' && action === 'flush',
  'new-sensor': ({ component, action }) => component === 'temperature-sensor' && action === 'replace',
  'new-filter': ({ component, action }) => component === 'coolant-filter' && action === 'replace',
};

/** Parts whose replacement may have mended what was found, so only a later test counts. */
const REPAIRED_BY: Partial<Record<SettledBy, readonly Component[]>> = {
  'warm-up-with-new-thermostat': ['thermostat'],
  'no-gas-after-repair': LETS_GAS_THROUGH,
  'clear-after-repair': LETS_OIL_THROUGH,
};

/** Work that may mend a wire, a connector or a drive; common practice. */
const MENDS: readonly Action[] = ['replace', 'adjust', 'clean'];

/**
 * Whether a reading settles a finding. What is inconclusive settles nothing, and what was read in
 * another circuit neither.
 *
 * @example a passed pressure test settles 'pressure-test-failed', a passed vacuum test does not
 */
export function isSettledByReading(cause: FollowUpCause, reading: FollowUpReading): boolean {
  if (!isSameCircuit(cause, reading)) return false;
  return calledForBy(cause.finding).settledBy.some((by) => BY_READING[by]?.(reading, cause) === true);
}

/**
 * Whether work settles a finding by itself, without a reading. @example drive-belt/replace settles
 * 'belt-worn'
 */
export function isSettledByWork(cause: FollowUpCause, line: WorkLine): boolean {
  if (!isSameCircuit(cause, line)) return false;
  return calledForBy(cause.finding).settledBy.some((by) => BY_WORK[by]?.(line, cause) === true);
}

/**
 * Whether work may have mended a finding, which a test still has to show. @example
 * head-gasket/replace may have mended 'combustion-gas'
 */
export function mayBeRepairedBy(cause: FollowUpCause, line: WorkLine): boolean {
  const { component, action } = line;
  if (!isSameCircuit(cause, line)) return false;
  const { settledBy, component: faulty } = calledForBy(cause.finding);
  // A wire or a plug has no name of its own.
  if (settledBy.includes('mended-and-gone') && MENDS.includes(action))
    return component === faulty || component === 'other';
  return action === 'replace' && settledBy.some((by) => REPAIRED_BY[by]?.includes(component) === true);
}

/**
 * Whether a finding is settled because the vehicle reports its fault as gone, after work that may
 * have mended it. A fault that went away by itself is not settled.
 *
 * @param code as it is shown
 * @param at when it was read as gone, in epoch milliseconds
 */
export function isSettledByGoing(
  { finding, fault, isRepaired }: FollowUpCause,
  code: string,
  at: number,
): boolean {
  if (!isRepaired || fault?.code !== code || fault.lastAt === at) return false;
  return calledForBy(finding).settledBy.includes('mended-and-gone');
}

/** A repeated test counts from this share of the start of the one that failed; common practice. */
const AS_HARD_SHARE = 0.95;

// Where no target is known, the start was not judged: a gentle test proves nothing against a hard
// one.
function isAsHard({ canonical, evaluation }: FollowUpReading, { reading }: FollowUpCause): boolean {
  if (evaluation.computed.targetHere != null) return true;
  const failed = reading?.canonical;
  if (canonical.kind !== 'hold-test' || failed?.kind !== 'hold-test') return true;
  return canonical.method !== failed.method || canonical.startKpa >= AS_HARD_SHARE * failed.startKpa;
}

// After the work a level that was found low says so itself; within the job that found it low it is
// read again once it is filled up.
function isLevelRead(reading: FollowUpReading, cause: FollowUpCause): boolean {
  const { canonical, evaluation } = reading;
  if (canonical.kind !== 'level-check') return false;
  const isAfterHeatCycle = reading.at - cause.openedAt >= HEAT_CYCLE_MS;
  if (evaluation.verdict === 'fail') return cause.finding === 'circuit-opened' && isAfterHeatCycle;
  const isFilledUp = cause.finding === 'level-low' && isOfSameJob(reading, cause);
  return evaluation.verdict === 'pass' && canonical.engineCold === true && (isAfterHeatCycle || isFilledUp);
}

function measuresAgain(reading: FollowUpReading, { finding, reading: before }: FollowUpCause): boolean {
  return before !== null && isMeasuredAgain(finding, before, reading);
}

function isOfSameJob(reading: FollowUpReading, cause: FollowUpCause): boolean {
  return reading.jobId !== null && reading.jobId === cause.reading?.jobId;
}

function isOfSameFasteners({ canonical }: FollowUpReading, { reading }: FollowUpCause): boolean {
  return (
    canonical.kind === 'torque-set' &&
    reading?.canonical.kind === 'torque-set' &&
    canonical.fastener === reading.canonical.fastener
  );
}

// All that a belt is asked for, and what was wrong before: what was not looked at was not found
// sound.
function isFullCheck({ canonical: check }: FollowUpReading, { reading }: FollowUpCause): boolean {
  if (check.kind !== 'belt-check') return false;
  // What the vehicle reported names no belt.
  const before = reading === null ? null : reading.canonical;
  if (before !== null && before.kind !== 'belt-check') return false;
  return (
    isSameItem(check.item ?? null, before?.item ?? null) &&
    areRibsSeen(check) &&
    check.offsetMm != null &&
    check.spanMm != null &&
    check.wearGauge != null &&
    (before?.tensionerInRange !== false || check.tensionerInRange === true) &&
    (before?.contaminated !== true || check.contaminated === false)
  );
}

function areRibsSeen({ ribsSeated, pulleys }: BeltCheckReading): boolean {
  return ribsSeated != null || (pulleys ?? []).length > 0;
}

/** The belt that a reading is about; null where it names none, or is about no belt. */
function beltOf(reading: FollowUpReading | null): string | null {
  const canonical = reading?.canonical;
  switch (canonical?.kind) {
    case 'belt-check':
    case 'belt-tension':
    case 'tensioner-check':
      return canonical.item ?? null;
    default:
      return null;
  }
}

function isOfSameBelt(reading: FollowUpReading, cause: FollowUpCause): boolean {
  return isSameItem(beltOf(reading), beltOf(cause.reading));
}

/** A tensioner of which all was looked at, and its swing measured where that was too much. */
function isFullTensionerCheck({ canonical: check }: FollowUpReading, { reading }: FollowUpCause): boolean {
  const before = reading?.canonical;
  if (check.kind !== 'tensioner-check' || before?.kind !== 'tensioner-check') return false;
  return (
    check.mark != null &&
    check.armMovesFreely != null &&
    check.pulleyRunsTrue != null &&
    (before.armSwingMm == null || check.armSwingMm != null)
  );
}

/** A new belt has run in once it was read as one that is no longer new, after some running. */
function hasRunIn({ canonical, at }: FollowUpReading, { openedAt }: FollowUpCause): boolean {
  return canonical.kind === 'belt-tension' && canonical.newBelt !== true && at - openedAt >= RUN_IN_MS;
}

/** Without an item, it is about the only such part. */
function isSameItem(left: string | null, right: string | null): boolean {
  return left === null || right === null || left === right;
}

// One negative test excludes nothing by itself; after a repair, hot and under load, it shows that
// the repair held.
function isClear({ positive, engineHot, underLoad }: CombustionGasTestReading): boolean {
  return !positive && engineHot === true && underLoad === true;
}
