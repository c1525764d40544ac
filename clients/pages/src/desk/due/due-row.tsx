import { memo } from 'preact/compat';
import { Link } from 'wouter-preact';
import { vehicleAddress } from '../addresses.js';
import {
  type DueLine,
  dueDayInWords,
  isToDoAtOnce,
  stateInWords,
  workInWords,
} from '../../kit/due/due-line.js';
import { Mark, Strip, type TimeAxis } from '../../kit/due/strip.js';
import { mayManage } from '../../kit/service/me.js';
import { dayInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import type { Selection } from './selection.js';

/** Why a line is open or where it is, in sentences. */
export function whyInWords({
  causes,
  releasedWithFindings,
  postponedUntil,
  visit,
  stale,
  needsReading,
}: DueLine) {
  return [
    releasedWithFindings && tell(message('desk-due-released')),
    ...causes.map(({ text }) => text),
    postponedUntil !== null && tell(message('desk-due-put-off-until', { until: dayInWords(postponedUntil) })),
    visit !== null && tell(message('desk-due-planned', { on: dayInWords(visit.on) })),
    needsReading && tell(message('desk-due-needs-reading')),
    stale && tell(message('desk-due-stale')),
  ]
    .filter((text) => text !== false)
    .join(' ');
}

export interface RowProps {
  line: DueLine;
  axis: TimeAxis;
  isSelected: boolean;
  /** Whether it is the row that Tab comes to. */
  isActive: boolean;
  isChanged: boolean;
  onTouch: Selection['touch'];
  /** Changes with the language: the rows are drawn again only when something about them changes. */
  language: string;
}

function DueRow({ line, axis, isSelected, isActive, isChanged, onTouch }: RowProps) {
  const { unitNumber } = line.vehicle;
  const work = workInWords(line);
  const tabIndex = isActive ? 0 : -1;
  const name = isToDoAtOnce(line) ? 'at-once' : line.state;
  return (
    <tr data-line={line.id} class={`${name}${isChanged ? ' changed' : ''}`} aria-selected={isSelected}>
      <td class="pick">
        {mayManage() && (
          <input
            type="checkbox"
            aria-label={tell(message('desk-due-select', { unit: unitNumber, work }))}
            checked={isSelected}
            tabIndex={tabIndex}
            onClick={(event) => onTouch(line.id, event.currentTarget.checked, event.shiftKey)}
          />
        )}
      </td>
      <th scope="row">
        <Link class="unit" href={`~${vehicleAddress(line.vehicle.id)}`} tabIndex={tabIndex}>
          {unitNumber}
        </Link>
      </th>
      <td class="work">{work}</td>
      <td class="state">
        <Mark state={line.state} /> <span>{stateInWords(line)}</span>
      </td>
      <td class="day">{dueDayInWords(line)}</td>
      <td class="weeks">
        <Strip line={line} axis={axis} />
      </td>
      <td class="why">{whyInWords(line)}</td>
    </tr>
  );
}

export const Row = memo(DueRow);
