import type { ComponentChildren } from 'preact';
import { Link } from 'wouter-preact';
import { Languages } from '../../../kit/parts/shell.js';
import { tell } from '../../../kit/texts/tell.js';
import { isKnown, isSending, isWaiting, lastEnd, outbox } from '../../outbox/outbox.js';
import { leave, who } from '../../signed-in/who.js';
import { message } from '../../words/messages.js';
import { message as pageMessage } from '../../../kit/messages.js';

/** What waits and what has gone, on every screen. */
function OutboxStatus() {
  if (!isKnown.value) return null;
  const waiting = outbox.value.filter(isWaiting).length;
  const refused = outbox.value.filter(
    ({ state, photosRefused }) => state === 'refused' || photosRefused > 0,
  ).length;
  return (
    <div role="status" class="outbox-status">
      <Link href="/outbox" class={refused > 0 || waiting > 0 ? 'button to-see' : 'button'}>
        {refused > 0
          ? tell(message('phone-outbox-refused', { count: refused }))
          : waiting === 0
            ? tell(message('phone-outbox-empty'))
            : tell(message('phone-outbox-waiting', { count: waiting }))}
      </Link>
      {isSending.value && waiting > 0 && <span>{tell(message('phone-sending'))}</span>}
      {!isSending.value && waiting > 0 && lastEnd.value === 'no-answer' && (
        <span>{tell(message('phone-no-answer-yet'))}</span>
      )}
      {lastEnd.value === 'not-signed-in' && waiting > 0 && (
        <Link href="/sign-in" class="button">
          {tell(message('phone-sign-in-to-send'))}
        </Link>
      )}
    </div>
  );
}

/** What is around every screen: the way to the first one, what waits, and at the end the rest. */
export function Frame({ children }: { children: ComponentChildren }) {
  return (
    <>
      <a class="skip" href="#main">
        {tell(pageMessage('page-skip'))}
      </a>
      <header class="head">
        {who.value !== null && (
          <>
            <Link href="/" class="button">
              {tell(message('phone-my-day'))}
            </Link>
            <OutboxStatus />
          </>
        )}
      </header>
      <main id="main" tabIndex={-1}>
        {children}
      </main>
      <footer>
        <p>{tell(pageMessage('page-disclaimer'))}</p>
        {who.value !== null && (
          <p>
            {tell(message('phone-signed-in-as', { name: who.value.name ?? '—', fleet: who.value.fleet }))}
          </p>
        )}
        <Languages />
        {who.value !== null && (
          <button type="button" class="plain" onClick={leave}>
            {tell(pageMessage('page-sign-out'))}
          </button>
        )}
      </footer>
    </>
  );
}

/** Says how old what is shown is, when the service did not answer. */
export function Age({ at, isOld }: { at: string; isOld: boolean }) {
  if (!isOld) return null;
  const hours = Math.max(1, Math.round((Date.now() - Date.parse(at)) / 3_600_000));
  return (
    <p class="fault" role="status">
      {hours < 48
        ? tell(message('phone-kept-hours', { hours }))
        : tell(message('phone-kept-days', { days: Math.round(hours / 24) }))}
    </p>
  );
}
