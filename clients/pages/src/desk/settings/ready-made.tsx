import { useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayOfInstant } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { Ask } from './acting.js';
import { message } from './messages.js';

/** A spec sheet or an interval plan, with what is still ready-made of it. */
interface Kept {
  id: string;
  name: string;
  what: 'sheet' | 'plan';
  unconfirmed: readonly string[];
  note: string | null;
  confirmedAt: string | null;
}

type Marked = {
  id: string;
  name: string;
  starter: { unconfirmed: string[]; confirmed: { at: string } | null; note: { text: string } | null } | null;
};

const keptOf = (what: Kept['what'], { id, name, starter }: Marked): Kept => ({
  ...{ id, name, what, unconfirmed: starter?.unconfirmed ?? [], note: starter?.note?.text ?? null },
  confirmedAt: starter?.confirmed?.at ?? null,
});

function Row({ kept, timeZone, onConfirm }: { kept: Kept; timeZone: string; onConfirm: () => void }) {
  const { id, name, what, unconfirmed, note, confirmedAt } = kept;
  return (
    <li>
      <Link href={`/settings/${what}s/${id}`}>
        <strong>{name}</strong>
      </Link>{' '}
      {tell(message('desk-kept-what', { what }))}
      {unconfirmed.length > 0 ? (
        <>
          <p class="ready-made">
            {tell(message('desk-kept-ready-made', { count: unconfirmed.length }))} {note}
          </p>
          <details>
            <summary>{tell(message('desk-kept-which'))}</summary>
            <ul class="dots">
              {unconfirmed.map((pointer) => (
                <li key={pointer}>
                  <code>{pointer}</code>
                </li>
              ))}
            </ul>
          </details>
          <button type="button" class="plain" onClick={onConfirm}>
            {tell(message('desk-kept-confirm', { name, what }))}
          </button>
        </>
      ) : (
        confirmedAt !== null && (
          <p class="faint">
            {tell(message('desk-kept-confirmed', { on: dayOfInstant(confirmedAt, timeZone) }))}
          </p>
        )
      )}
    </li>
  );
}

async function confirm({ id, what }: Kept): Promise<void> {
  const path = { id };
  if (what === 'sheet') await service().post('/v1/spec-sheets/{id}/confirm', { path });
  else await service().post('/v1/interval-plans/{id}/confirm', { path });
}

/**
 * Spec sheets and interval plans, and the way to confirm those that are ready-made.
 *
 * @param isAll false: only those that nobody has confirmed
 */
export function ReadyMade({
  timeZone,
  isAll,
  onChanged,
}: {
  timeZone: string;
  isAll: boolean;
  onChanged?: () => void;
}) {
  const asked = useSignal<Kept | null>(null);
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const request = { query: { limit: 200 }, signal };
      const all: Kept[] = [];
      for await (const one of client.items('/v1/spec-sheets', request)) all.push(keptOf('sheet', one));
      for await (const one of client.items('/v1/interval-plans', request)) all.push(keptOf('plan', one));
      return isAll ? all : all.filter(({ unconfirmed }) => unconfirmed.length > 0);
    },
    [isAll],
  );
  const now = asked.value;
  return (
    <>
      <Shown state={state} again={reload}>
        {(all) => (
          <ul class="kept">
            {all.length === 0 && <li>{tell(message('desk-kept-none'))}</li>}
            {all.map((kept) => (
              <Row key={kept.id} {...{ kept, timeZone }} onConfirm={() => (asked.value = kept)} />
            ))}
          </ul>
        )}
      </Shown>
      {now !== null && (
        <Ask
          title={tell(message('desk-kept-confirm', { name: now.name, what: now.what }))}
          what={[tell(message('desk-kept-confirm-what')), tell(message('desk-kept-confirm-undo'))]}
          way={tell(message('desk-kept-confirm-now'))}
          onYes={async () => {
            await confirm(now);
            asked.value = null;
            reload();
            onChanged?.();
          }}
          onClose={() => (asked.value = null)}
        />
      )}
    </>
  );
}
