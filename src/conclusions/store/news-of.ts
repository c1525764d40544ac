import { stateOf, type StoredLine } from '../../domain/conclusions/stored-line.js';
import type { DueState } from '../../domain/intervals/types.js';
import type { VehicleConclusion } from './vehicle-conclusion.js';
import type { LineChanges } from './line-changes.js';

/** The state of the line, if it is one that reminders report. */
function toldState(line: StoredLine | undefined, today: string): DueState | null {
  if (!line?.isOpen) return null;
  const state = stateOf(line, today);
  return state === 'no-baseline' || state === 'not-due' ? null : state;
}

function isNewsOfLine(line: StoredLine, before: StoredLine | undefined, today: string): boolean {
  const state = toldState(line, today);
  if (state === null) return false;
  const isAsBefore =
    state === toldState(before, today) && line.cycle === before?.cycle && line.depotId === before.depotId;
  return !isAsBefore;
}

/**
 * True for a line that entered a stage, a raised alert, a failed or held reading, or a new
 * audience. The morning sweep handles changes that come with the date alone.
 *
 * @param today in the fleet's zone
 */
export function mayBeNews(
  { history, usage, lines, alerts }: VehicleConclusion,
  { added, changed }: LineChanges,
  today: string,
): boolean {
  if (history.isMoved) return true;
  if (history.isToldAnew && lines.some((line) => toldState(line, today) !== null)) return true;
  const before = (id: string): StoredLine | undefined => history.lines.find((line) => line.id === id);
  if ([...added, ...changed].some((line) => isNewsOfLine(line, before(line.id), today))) return true;
  const raised = new Set(
    history.alerts.filter(({ isStanding, status }) => isStanding && status === 'raised').map(({ id }) => id),
  );
  return (
    alerts.some(({ id, episode }) => episode.status === 'raised' && !raised.has(id)) ||
    (history.readings ?? []).some(({ isNew, evaluation }) => isNew && evaluation.verdict === 'fail') ||
    [...usage.judged, ...usage.judgedNew].some(({ status }) => status === 'held')
  );
}
