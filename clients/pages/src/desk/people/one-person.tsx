import { useSignal } from '@preact/signals';
import { Link, useLocation } from 'wouter-preact';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { useMe } from '../../kit/service/me.js';
import { service } from '../../kit/service/session.js';
import { dayOfInstant } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { type PersonInput, PersonForm } from './person-form.js';
import { Sessions } from './sessions.js';
import { SignInLink } from './sign-in-link.js';
import { useDepots } from '../../kit/service/depots.js';

type Person = components['schemas']['PersonView'];

interface Read {
  person: Person;
  etag: string | undefined;
}

const inputOf = ({ name, badge, role, depotIds, language }: Person): PersonInput => ({
  ...{ name, role },
  ...{ badge: badge ?? null, depotIds: depotIds ?? null, language: language ?? null },
});

/** Asks before something is done that ends sign-ins, and says what follows. */
function Ask({
  title,
  what,
  way,
  work,
  onClose,
}: {
  title: string;
  what: string;
  way: string;
  work: () => Promise<void>;
  onClose: () => void;
}) {
  const problem = useSignal<unknown>(null);
  const go = async (): Promise<void> => {
    problem.value = null;
    try {
      await work();
    } catch (refused) {
      problem.value = refused;
    }
  };
  return (
    <Dialog title={title} onClose={onClose}>
      <p>{what}</p>
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="button" onClick={() => void go()}>
        {way}
      </button>
    </Dialog>
  );
}

/** Notes that somebody has left or is back, or deletes who was never needed. */
function Leaving({ read, onChanged }: { read: Read; onChanged: () => void }) {
  const { person, etag } = read;
  const { id, name } = person;
  const [, go] = useLocation();
  const asking = useSignal<'left' | 'delete' | null>(null);
  const close = (): void => void (asking.value = null);
  const become = async (state: Person['state']): Promise<void> => {
    await service().patch('/v1/people/{id}', { path: { id }, body: { state }, ifMatch: etag });
    close();
    onChanged();
  };
  return (
    <p class="ways">
      {person.state === 'left' ? (
        <button type="button" onClick={() => void become('active')}>
          {tell(message('desk-person-back'))}
        </button>
      ) : (
        <button type="button" onClick={() => (asking.value = 'left')}>
          {tell(message('desk-person-left'))}
        </button>
      )}
      <button type="button" onClick={() => (asking.value = 'delete')}>
        {tell(message('desk-person-delete'))}
      </button>
      {asking.value === 'left' && (
        <Ask
          title={tell(message('desk-person-left-ask', { name }))}
          what={tell(message('desk-person-left-what'))}
          way={tell(message('desk-person-left-now'))}
          work={() => become('left')}
          onClose={close}
        />
      )}
      {asking.value === 'delete' && (
        <Ask
          title={tell(message('desk-person-delete-ask', { name }))}
          what={tell(message('desk-person-delete-what'))}
          way={tell(message('desk-person-delete-now'))}
          work={async () => {
            await service().delete('/v1/people/{id}', { path: { id } });
            go('/people');
          }}
          onClose={close}
        />
      )}
    </p>
  );
}

function SigningIn({ person }: { person: Person }) {
  const isShowing = useSignal(false);
  return (
    <section aria-labelledby="signing-in">
      <h2 id="signing-in">{tell(message('desk-link'))}</h2>
      <p>{tell(message('desk-link-about'))}</p>
      <button type="button" onClick={() => (isShowing.value = true)}>
        {tell(message('desk-link-show'))}
      </button>
      {isShowing.value && <SignInLink person={person} onClose={() => (isShowing.value = false)} />}
    </section>
  );
}

function Details({ read, timeZone, reload }: { read: Read; timeZone: string; reload: () => void }) {
  const { person, etag } = read;
  const depots = useDepots();
  const isKept = useSignal(false);
  const { id, leftAt } = person;
  const keep = async (body: PersonInput): Promise<void> => {
    isKept.value = false;
    await service().patch('/v1/people/{id}', { path: { id }, body, ifMatch: etag });
    isKept.value = true;
    reload();
  };
  return (
    <>
      <Heading>{person.name}</Heading>
      {leftAt !== null && (
        <p>{tell(message('desk-person-left-on', { on: dayOfInstant(leftAt, timeZone) }))}</p>
      )}
      {person.state === 'active' && <SigningIn person={person} />}
      <Sessions key={person.version} personId={id} timeZone={timeZone} />
      <section class="person-details">
        <h2>{tell(message('desk-person-details'))}</h2>
        <PersonForm
          key={person.version}
          given={inputOf(person)}
          depots={depots}
          way={tell(message('desk-person-keep'))}
          onGiven={keep}
        />
        <p role="status">{isKept.value && tell(message('desk-person-kept'))}</p>
        <Leaving read={read} onChanged={reload} />
      </section>
    </>
  );
}

/** One person: how to sign in, on which devices, and what is known of them. */
export function OnePerson({ id }: { id: string }) {
  const me = useMe();
  const { state, reload } = useLoaded(
    async (client, signal): Promise<Read> => {
      const { data, headers } = await client.get('/v1/people/{id}', { path: { id }, signal });
      return { person: data, etag: headers.get('etag') ?? undefined };
    },
    [id],
  );
  const timeZone = me.state.value.value?.timeZone;
  return (
    <div class="people-view">
      <p>
        <Link href="/people">{tell(message('desk-person-back-to-list'))}</Link>
      </p>
      <Shown state={state} again={reload}>
        {(read) => (timeZone === undefined ? null : <Details {...{ read, timeZone, reload }} />)}
      </Shown>
    </div>
  );
}
