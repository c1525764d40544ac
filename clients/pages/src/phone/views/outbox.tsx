import { Link } from 'wouter-preact';
import { Heading } from '../../kit/parts/shell.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { isPersistent, isWaiting, outbox, sendNow } from '../outbox/outbox.js';
import { who } from '../signed-in/who.js';
import { message } from '../words/messages.js';
import { stateOfReport } from './sent.js';

/** What has gone and what has not, report by report. */
export function Outbox() {
  const waiting = outbox.value.filter(isWaiting).length;
  return (
    <>
      <Heading>{tell(message('phone-outbox'))}</Heading>
      <p role="status">
        {waiting === 0
          ? tell(message('phone-outbox-empty'))
          : tell(message('phone-outbox-waiting', { count: waiting }))}
      </p>
      {waiting > 0 && (
        <button type="button" class="main" onClick={() => void sendNow()}>
          {tell(message('phone-send-now'))}
        </button>
      )}
      {isPersistent.value === false && waiting > 0 && (
        <p class="faint">{tell(message('phone-not-persistent'))}</p>
      )}
      <ul class="vehicles">
        {outbox.value.map((entry) => (
          <li key={entry.id}>
            <Link href={`/sent/${entry.id}`} class={`button vehicle ${entry.state}`}>
              <span class="unit">{entry.unitNumber}</span>
              <span>
                {stateOfReport(entry)} · {momentInWords(entry.finishedAt, who.value?.timeZone ?? 'UTC')}
              </span>
            </Link>
          </li>
        ))}
      </ul>
    </>
  );
}
