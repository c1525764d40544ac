import { Link, useParams } from 'wouter-preact';
import { Heading } from '../../kit/parts/shell.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { lastEnd, outbox, refresh, sendNow, type Shown } from '../outbox/outbox.js';
import { who } from '../signed-in/who.js';
import { takeBack } from '../store/outbox.js';
import { message } from '../words/messages.js';
import { AnswerView } from './parts/answer.js';
import { RefusedFields } from './parts/refused.js';

const moment = (at: string): string => momentInWords(at, who.value?.timeZone ?? 'UTC');

/** Where a report is: on this phone, refused, or with the service. */
export function stateOfReport({ state, photosWaiting }: Shown): string {
  if (state === 'refused') return tell(message('phone-state-refused'));
  if (state === 'waiting') return tell(message('phone-state-waiting'));
  return photosWaiting > 0
    ? tell(message('phone-state-photos', { count: photosWaiting }))
    : tell(message('phone-state-sent'));
}

function Waiting({ entry }: { entry: Shown }) {
  const undo = async (): Promise<void> => {
    await takeBack(entry.id);
    await refresh();
  };
  return (
    <div class="actions">
      <button type="button" onClick={() => void sendNow()}>
        {tell(message('phone-send-now'))}
      </button>
      {entry.heldUntil !== null && (
        <button type="button" onClick={() => void undo()}>
          {tell(message('phone-take-back'))}
        </button>
      )}
      {lastEnd.value === 'not-signed-in' && (
        <Link href="/sign-in" class="button">
          {tell(message('phone-sign-in-to-send'))}
        </Link>
      )}
    </div>
  );
}

/** A finished report, and what became of it. */
export function Sent() {
  const { id } = useParams<{ id: string }>();
  const entry = outbox.value.find((one) => one.id === id);
  if (entry === undefined) return <Heading>{tell(message('phone-no-such-report'))}</Heading>;
  const { unitNumber, finishedAt, report, state, problem, answer, draft } = entry;
  return (
    <>
      <Heading>{tell(message('phone-report-of', { unitNumber }))}</Heading>
      <p role="status" class={`state ${state}`}>
        <strong>{stateOfReport(entry)}</strong> {moment(finishedAt)}
      </p>
      {state === 'refused' && problem && (
        <>
          <RefusedFields problem={problem} draft={draft} />
          <Link href={`/v/${report.vehicleId}/report?repairs=${id}`} class="button main">
            {tell(message('phone-repair'))}
          </Link>
        </>
      )}
      {state === 'waiting' && <Waiting entry={entry} />}
      {entry.photosRefused > 0 && (
        <p class="fault">{tell(message('phone-photos-refused', { count: entry.photosRefused }))}</p>
      )}
      {answer && <AnswerView answer={answer} />}
      <Link href={`/v/${report.vehicleId}`} class="button">
        {unitNumber}
      </Link>
    </>
  );
}
