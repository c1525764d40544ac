import { useSignal } from '@preact/signals';
import { Link, useLocation } from 'wouter-preact';
import type { UnitSystem } from '../../../../../../src/domain/quantities/measures.js';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { tell } from '../../../kit/texts/tell.js';
import { RecordEditor } from '../../record-form/editor.js';
import type { Kept } from '../../record-form/use-record.js';
import { Ask } from '../acting.js';
import { message as settingsMessage } from '../messages.js';
import { ToSettings } from '../to-settings.js';
import type { KeptRecord, Kind } from './kinds.js';
import { message } from './messages.js';

const marksOf = (record: Kept): readonly string[] => (record as KeptRecord).starter?.unconfirmed ?? [];

/** Says that values are common practice, and lets somebody confirm them. */
function ReadyMadeNote({
  record: { id, name, starter },
  kind,
  onConfirmed,
}: {
  record: KeptRecord;
  kind: Kind;
  onConfirmed: () => void;
}) {
  const isAsked = useSignal(false);
  const count = starter?.unconfirmed.length ?? 0;
  if (count === 0) return null;
  const { what } = kind;
  const title = tell(settingsMessage('desk-kept-confirm', { name, what }));
  return (
    <div class="ready-made">
      <p>
        {tell(settingsMessage('desk-kept-ready-made', { count }))} {starter?.note?.text}
      </p>
      <button type="button" class="plain" onClick={() => (isAsked.value = true)}>
        {title}
      </button>
      {isAsked.value && (
        <Ask
          {...{ title, way: tell(settingsMessage('desk-kept-confirm-now')) }}
          what={[
            tell(settingsMessage('desk-kept-confirm-what')),
            tell(settingsMessage('desk-kept-confirm-undo')),
          ]}
          onYes={async () => {
            await kind.confirm(id);
            isAsked.value = false;
            onConfirmed();
          }}
          onClose={() => (isAsked.value = false)}
        />
      )}
    </div>
  );
}

function Remove({ record: { id, name }, kind }: { record: KeptRecord; kind: Kind }) {
  const isAsked = useSignal(false);
  const [, go] = useLocation();
  const { what } = kind;
  const title = tell(message('desk-kept-remove', { name, what }));
  return (
    <>
      <button type="button" class="plain" onClick={() => (isAsked.value = true)}>
        {title}
      </button>
      {isAsked.value && (
        <Ask
          {...{ title, what: [tell(message('desk-kept-remove-what', { what }))] }}
          way={tell(settingsMessage('desk-remove-now'))}
          onYes={async () => {
            await kind.remove(id);
            go('/settings', { replace: true });
          }}
          onClose={() => (isAsked.value = false)}
        />
      )}
    </>
  );
}

function Page({ loaded, units, kind }: { loaded: KeptRecord; units: UnitSystem; kind: Kind }) {
  const record = useSignal(loaded);
  const { id, name } = record.value;
  const { what, shape } = kind;
  const reload = async (): Promise<void> => {
    record.value = (await kind.endpoint(id).get()) as KeptRecord;
  };
  return (
    <>
      <Heading>{name}</Heading>
      <p class="faint">{tell(message('desk-kept-about-one', { what }))}</p>
      <ReadyMadeNote {...{ record: record.value, kind }} onConfirmed={() => void reload()} />
      <RecordEditor
        {...{ name, shape, units, marksOf, record: record.value, endpoint: kind.endpoint(id) }}
        onKept={(now) => (record.value = now as KeptRecord)}
      />
      <p class="ways">
        <Link href={`${kind.address}/new?from=${id}`}>{tell(message('desk-kept-copy', { what }))}</Link>
        <Remove {...{ record: record.value, kind }} />
      </p>
    </>
  );
}

/** A spec sheet or an interval plan: its figures, which can be changed. */
export function KeptPage({ id, kind }: { id: string; kind: Kind }) {
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const [me, record] = await Promise.all([
        client.get('/v1/me', { signal }),
        kind.load(client, id, signal),
      ]);
      return { units: me.data.units, loaded: record };
    },
    [id],
  );
  return (
    <div class="settings-view kept-view">
      <ToSettings />
      <Shown state={state} again={reload}>
        {({ loaded, units }) => <Page key={id} {...{ loaded, units, kind }} />}
      </Shown>
    </div>
  );
}
