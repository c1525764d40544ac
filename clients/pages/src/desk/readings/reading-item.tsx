import { type Signal, useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import { mayManage } from '../../kit/service/me.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { reportAddress, vehicleAddress } from '../addresses.js';
import { quantitiesInWords } from '../quantities.js';
import { message as todayMessage } from '../today/messages.js';
import { Around } from './around.js';
import { message } from './messages.js';
import type { UsageReading } from './words.js';

export type ReadingAction = 'accept' | 'discard' | 'void';

/** What can be done with a reading in a state. */
const ACTIONS: Record<UsageReading['status'], readonly ReadingAction[]> = {
  held: ['accept', 'discard'],
  accepted: ['void'],
  discarded: [],
  voided: [],
};

const nameOf = (action: ReadingAction): string =>
  tell(action === 'void' ? message('desk-readings-void') : todayMessage(`desk-today-${action}`));

function Actions({
  status,
  unit,
  onWanted,
  isAroundShown,
}: Pick<UsageReading, 'status'> & {
  unit: string;
  onWanted: (action: ReadingAction) => void;
  isAroundShown: Signal<boolean>;
}) {
  return (
    <p class="actions">
      {(mayManage() ? ACTIONS[status] : []).map((action) => (
        <button
          key={action}
          type="button"
          aria-label={tell(todayMessage('desk-today-action-for', { action: nameOf(action), what: unit }))}
          onClick={() => onWanted(action)}
        >
          {nameOf(action)}
        </button>
      ))}
      <button
        type="button"
        class="plain"
        aria-expanded={isAroundShown.value}
        aria-label={tell(message('desk-readings-around-of', { unit }))}
        onClick={() => (isAroundShown.value = !isAroundShown.value)}
      >
        {tell(message('desk-readings-around'))}
      </button>
    </p>
  );
}

/** One usage reading: what was sent, why it is held, what is around it, and what can be done. */
export function ReadingItem({
  reading,
  unit,
  timeZone,
  onWanted,
}: {
  reading: UsageReading;
  unit: string;
  timeZone: string;
  onWanted: (action: ReadingAction) => void;
}) {
  const isAroundShown = useSignal(false);
  const { id, vehicleId, readAt, odometer, engineHours, detail, status, jobReportId } = reading;
  const sent = { counters: quantitiesInWords([odometer, engineHours]), on: momentInWords(readAt, timeZone) };
  return (
    <li class="usage" data-reading={id}>
      <h2>
        <Link href={`~${vehicleAddress(vehicleId)}`}>{unit}</Link>
      </h2>
      <p>
        {tell(message('desk-readings-sent', sent))}{' '}
        <strong>{tell(message(`desk-readings-state-${status}`))}</strong>
        {'. '}
        {jobReportId !== null && (
          <Link href={reportAddress(jobReportId)}>{tell(message('desk-readings-report'))}</Link>
        )}
      </p>
      {detail !== null && (
        <p>
          <span class="faint">{tell(message('desk-readings-why'))}</span> {detail.text}
        </p>
      )}
      <Actions {...{ status, unit, onWanted, isAroundShown }} />
      {isAroundShown.value && <Around {...{ reading, timeZone }} />}
    </li>
  );
}
