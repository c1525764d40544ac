import type { Action, CivilDate, Component, WorkLine } from '../intervals/types.js';

/** Who found a defect: the driver, a mechanic, or an inspection by the law or by the fleet. */
export const DEFECT_SOURCES = ['driver', 'mechanic', 'inspection'] as const;
export type DefectSource = (typeof DEFECT_SOURCES)[number];

/**
 * `reported`: nobody has decided yet. `triaged`: it is to be repaired. The last two are certified:
 * repaired, or dismissed because it need not be repaired (49 CFR 396.11(a)(3)).
 */
export const DEFECT_STATES = ['reported', 'triaged', 'dismissed', 'repaired'] as const;
export type DefectState = (typeof DEFECT_STATES)[number];

/** The states in which somebody still has something to do. */
export const OPEN_DEFECT_STATES = ['reported', 'triaged'] as const satisfies readonly DefectState[];

/** What a mechanic or manager decided about a defect. The latest decision counts. */
export interface DefectDecision {
  id: string;
  /** Epoch milliseconds. */
  at: number;
  kind: 'triage' | 'dismiss';
  /** The work that is to repair it; null: it was dismissed. */
  work: WorkLine | null;
  /** By when it is to be repaired; null: at once, or it was dismissed. */
  dueOn: CivilDate | null;
}

/** A defect as it was reported, and what was decided about it. */
export interface Defect {
  id: string;
  /** When it was reported, epoch milliseconds. */
  at: number;
  source: DefectSource;
  /** In the words of whoever reported it. */
  what: string;
  /** What it seems to be about; null: not said. */
  component: Component | null;
  item: string | null;
  /** In any order. */
  decisions: readonly DefectDecision[];
}

/** A job, as far as it may have repaired a defect. */
export interface RepairJob {
  id: string;
  /** Epoch milliseconds. */
  at: number;
  lines: readonly WorkLine[];
  /** Done before records began: it repairs nothing that was reported since. */
  isBaseline: boolean;
  /** The defects that its report says were repaired; missing: none. */
  repairedDefects?: readonly string[];
}

export interface DefectStanding {
  state: DefectState;
  /** The decision that counts; null: there is none. */
  decision: DefectDecision | null;
  /** The job that repaired it; null: it is not repaired. */
  repairedBy: string | null;
}

/**
 * Work that may repair a defect by itself. To inspect or to test is to look: what was found has to
 * be repaired or dismissed. Common practice, no source.
 */
const REPAIRS: readonly Action[] = ['adjust', 'clean', 'flush', 'replace'];

/**
 * The state of a defect, by everything that is recorded. A report that names the defect as
 * repaired settles it, whatever was decided. So does the work that the latest decision asked for,
 * if it was done after the defect was reported and is work that repairs.
 *
 * @param jobs those not voided, in any order
 * @example standingOf(defect without decisions, []).state // 'reported'
 * @example standingOf(defect triaged to radiator/replace, [job with radiator/replace]).state // 'repaired'
 */
export function standingOf(defect: Defect, jobs: readonly RepairJob[]): DefectStanding {
  const decision = [...defect.decisions].sort(inTime).at(-1) ?? null;
  const inOrder = [...jobs].sort(inTime);
  const repair =
    inOrder.find(({ repairedDefects }) => repairedDefects?.includes(defect.id) === true) ??
    inOrder.find((job) => didWork(job, defect, decision?.work ?? null));
  if (repair !== undefined) return { state: 'repaired', decision, repairedBy: repair.id };
  const decided = decision?.kind === 'dismiss' ? 'dismissed' : 'triaged';
  return { state: decision === null ? 'reported' : decided, decision, repairedBy: null };
}

function inTime(left: { id: string; at: number }, right: { id: string; at: number }): number {
  return left.at - right.at || (left.id < right.id ? -1 : 1);
}

function didWork({ at, lines, isBaseline }: RepairJob, defect: Defect, work: WorkLine | null): boolean {
  if (work === null || isBaseline || at < defect.at || !REPAIRS.includes(work.action)) return false;
  return lines.some(
    ({ component, action, item }) =>
      component === work.component &&
      action === work.action &&
      (item === null || work.item === null || item === work.item),
  );
}

/** A defect that is neither repaired nor dismissed, and the work that it calls for. */
export interface OpenDefect extends WorkLine {
  id: string;
  at: number;
  source: DefectSource;
  what: string;
  isTriaged: boolean;
  /** By when it is to be repaired; null: at once. */
  dueOn: CivilDate | null;
}

/**
 * What an open defect calls for: until somebody decides, to look at it at once; then the work that
 * was decided on, at once or by a day.
 *
 * @returns null for one that is repaired or dismissed
 * @example openDefect(defect about the radiator, its standing)?.action // 'inspect'
 */
export function openDefect(defect: Defect, { state, decision }: DefectStanding): OpenDefect | null {
  if (state !== 'reported' && state !== 'triaged') return null;
  const { id, at, source, what, component, item } = defect;
  const work: WorkLine = decision?.work ?? { component: component ?? 'other', action: 'inspect', item };
  return { id, at, source, what, ...work, isTriaged: state === 'triaged', dueOn: decision?.dueOn ?? null };
}
