import { useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayOfInstant } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

type Session = components['schemas']['SessionView'];

const MOST = 100;

const deviceInWords = ({ device }: Session): string => device ?? tell(message('desk-session-unnamed'));

function Row({ session, timeZone, onEnd }: { session: Session; timeZone: string; onEnd: () => void }) {
  const device = deviceInWords(session);
  return (
    <tr>
      <th scope="row">{device}</th>
      <td>{dayOfInstant(session.createdAt, timeZone)}</td>
      <td>{dayOfInstant(session.lastUsedAt, timeZone)}</td>
      <td>
        {session.current ? (
          tell(message('desk-session-this'))
        ) : (
          <button
            type="button"
            class="plain"
            aria-label={tell(message('desk-session-end-of', { device }))}
            onClick={onEnd}
          >
            {tell(message('desk-session-end'))}
          </button>
        )}
      </td>
    </tr>
  );
}

function Table({
  sessions,
  timeZone,
  onEnd,
}: {
  sessions: readonly Session[];
  timeZone: string;
  onEnd: (session: Session) => void;
}) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{tell(message('desk-session-device'))}</th>
          <th scope="col">{tell(message('desk-session-since'))}</th>
          <th scope="col">{tell(message('desk-session-used'))}</th>
          <td />
        </tr>
      </thead>
      <tbody>
        {sessions.map((session) => (
          <Row key={session.id} {...{ session, timeZone }} onEnd={() => onEnd(session)} />
        ))}
      </tbody>
    </table>
  );
}

/** The devices on which a person is signed in. Each can be signed out. */
export function Sessions({ personId, timeZone }: { personId: string; timeZone: string }) {
  const problem = useSignal<unknown>(null);
  const ended = useSignal<string | null>(null);
  const { state, reload } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/sessions', { query: { personId, limit: String(MOST) }, signal })).data.items,
    [personId],
  );
  const end = async (session: Session): Promise<void> => {
    problem.value = null;
    try {
      await service().delete('/v1/sessions/{id}', { path: { id: session.id } });
      ended.value = deviceInWords(session);
    } catch (refused) {
      problem.value = refused;
    }
    reload();
  };
  return (
    <section aria-labelledby="sessions">
      <h2 id="sessions">{tell(message('desk-sessions'))}</h2>
      <p role="status">
        {ended.value !== null && tell(message('desk-session-ended', { device: ended.value }))}
      </p>
      {problem.value !== null && <Fault problem={problem.value} />}
      <Shown state={state} again={reload}>
        {(sessions) =>
          sessions.length === 0 ? (
            <p>{tell(message('desk-sessions-none'))}</p>
          ) : (
            <Table {...{ sessions, timeZone }} onEnd={(session) => void end(session)} />
          )
        }
      </Shown>
    </section>
  );
}
