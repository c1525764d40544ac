import { useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import type { Me } from '../../kit/service/me.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { vehicleAddress } from '../addresses.js';
import { quantitiesInWords } from '../quantities.js';
import { message as todayMessage } from '../today/messages.js';
import type { HeldTopUp } from './held-top-ups.js';
import { message } from './messages.js';
import { AcceptTopUp, DiscardTopUp } from './top-up-questions.js';

type Action = 'accept' | 'discard';

const QUESTIONS = { accept: AcceptTopUp, discard: DiscardTopUp } as const;

/** How much was added, and by whom and when it was reported. */
function Reported({ topUp, timeZone }: { topUp: HeldTopUp; timeZone: string }) {
  const added = topUp.topUp?.added;
  const on = momentInWords(topUp.reportedAt, timeZone);
  const name = topUp.reportedBy;
  return (
    <p>
      {added == null
        ? tell(message('desk-top-up-some'))
        : tell(message('desk-top-up-added', { added: quantitiesInWords([added]) }))}{' '}
      {name === null
        ? tell(message('desk-top-up-by-label', { on }))
        : tell(message('desk-top-up-by', { on, name }))}{' '}
      {tell(message('desk-top-up-words', { what: topUp.what }))}
    </p>
  );
}

/** The photos of a report; each opens by itself. */
function Photos({ topUp: { attachments, unitNumber } }: { topUp: HeldTopUp }) {
  const shown = attachments.filter(({ voided }) => voided === null);
  if (shown.length === 0) return null;
  return (
    <p class="photos">
      {shown.map((attachment, index) => (
        <a key={attachment.id} href={attachment.href}>
          {tell(message('desk-top-up-photo', { number: index + 1, all: shown.length, unit: unitNumber }))}
        </a>
      ))}
    </p>
  );
}

function Item({
  topUp,
  timeZone,
  onWanted,
}: {
  topUp: HeldTopUp;
  timeZone: string;
  onWanted: (action: Action) => void;
}) {
  const { id, vehicleId, unitNumber } = topUp;
  return (
    <li class="usage" data-top-up={id}>
      <h3>
        <Link href={`~${vehicleAddress(vehicleId)}`}>{unitNumber}</Link>
      </h3>
      <Reported {...{ topUp, timeZone }} />
      <Photos topUp={topUp} />
      <p class="actions">
        {(['accept', 'discard'] as const).map((action) => {
          const name = tell(todayMessage(`desk-today-${action}`));
          const label = todayMessage('desk-today-action-for', { action: name, what: unitNumber });
          return (
            <button key={action} type="button" aria-label={tell(label)} onClick={() => onWanted(action)}>
              {name}
            </button>
          );
        })}
      </p>
    </li>
  );
}

/** Coolant that drivers say they added, which counts for nothing until it is accepted. */
export function TopUps({
  topUps: { items, isAll },
  me,
  onDone,
}: {
  topUps: { items: readonly HeldTopUp[]; isAll: boolean };
  me: Me;
  /** @param said what was done */
  onDone: (said: string) => void;
}) {
  const acting = useSignal<{ topUp: HeldTopUp; action: Action } | null>(null);
  if (items.length === 0) return null;
  const Question = acting.value === null ? null : QUESTIONS[acting.value.action];
  const closed = (said: string | null): void => {
    acting.value = null;
    if (said !== null) onDone(said);
  };
  return (
    <section class="top-ups" aria-labelledby="top-ups">
      <h2 id="top-ups">{tell(message('desk-top-ups'))}</h2>
      <p class="faint">{tell(message('desk-top-ups-about'))}</p>
      <ul>
        {items.map((topUp) => (
          <Item
            key={topUp.id}
            {...{ topUp, timeZone: me.timeZone }}
            onWanted={(action) => (acting.value = { topUp, action })}
          />
        ))}
      </ul>
      {!isAll && <p>{tell(message('desk-top-ups-more'))}</p>}
      {Question !== null && acting.value !== null && (
        <Question topUp={acting.value.topUp} decidedBy={me.person?.name ?? ''} onClose={closed} />
      )}
    </section>
  );
}
