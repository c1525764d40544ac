import { useSignal } from '@preact/signals';
import { Link, Route, Switch, useLocation, useSearchParams } from 'wouter-preact';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { useMe } from '../../kit/service/me.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { listInWords } from '../../kit/texts/lists.js';
import { message } from './messages.js';
import { OnePerson } from './one-person.js';
import { type Depot, NOBODY, PersonForm } from './person-form.js';
import { roleInWords } from './roles.js';
import { Tokens } from './tokens.js';
import { useDepots } from '../../kit/service/depots.js';
import './people.css';

type Person = components['schemas']['PersonView'];
type State = 'active' | 'left';

const PAGE = 200;

function depotsInWords({ depotIds }: Person, depots: readonly Depot[]): string {
  if (depotIds === null || depotIds === undefined) return tell(message('desk-person-all-depots'));
  const names = new Map(depots.map(({ id, name }) => [id, name]));
  return listInWords(depotIds.map((id) => names.get(id) ?? '…'));
}

function Table({ people, depots }: { people: readonly Person[]; depots: readonly Depot[] }) {
  return (
    <table class="people">
      <thead>
        <tr>
          <th scope="col">{tell(message('desk-person-name'))}</th>
          <th scope="col">{tell(message('desk-person-badge'))}</th>
          <th scope="col">{tell(message('desk-person-role'))}</th>
          <th scope="col">{tell(message('desk-person-depots'))}</th>
        </tr>
      </thead>
      <tbody>
        {people.map((person) => (
          <tr key={person.id}>
            <th scope="row">
              <Link href={`/people/${person.id}`}>{person.name}</Link>
            </th>
            <td>{person.badge}</td>
            <td>{roleInWords(person.role)}</td>
            <td>{depotsInWords(person, depots)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Adds a person, and goes to the page that shows the code to sign in with. */
function Add({ depots, onClose }: { depots: readonly Depot[]; onClose: () => void }) {
  const [, go] = useLocation();
  return (
    <Dialog title={tell(message('desk-people-add'))} onClose={onClose}>
      <PersonForm
        given={NOBODY}
        depots={depots}
        way={tell(message('desk-person-add'))}
        onGiven={async (body) => {
          const { data } = await service().post('/v1/people', { body });
          go(`/people/${data.id}`);
        }}
      />
    </Dialog>
  );
}

function Who({ state, onChoose }: { state: State; onChoose: (state: State) => void }) {
  return (
    <label class="who">
      <span>{tell(message('desk-people-who'))}</span>
      <select
        value={state}
        onChange={({ currentTarget: { value } }) => onChoose(value === 'left' ? 'left' : 'active')}
      >
        <option value="active">{tell(message('desk-people-who-active'))}</option>
        <option value="left">{tell(message('desk-people-who-left'))}</option>
      </select>
    </label>
  );
}

function PeopleList() {
  const [asked, ask] = useSearchParams();
  const state = asked.get('state') === 'left' ? 'left' : 'active';
  const isAdding = useSignal(false);
  const depots = useDepots();
  const me = useMe();
  const people = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/people', { query: { state, limit: String(PAGE) }, signal })).data,
    [state],
  );
  return (
    <div class="people-view">
      <Heading>{tell(message('desk-people'))}</Heading>
      <p>{tell(message('desk-people-about'))}</p>
      <button type="button" onClick={() => (isAdding.value = true)}>
        {tell(message('desk-people-add'))}
      </button>
      <Who
        state={state}
        onChoose={(chosen) => ask(chosen === 'left' ? { state: 'left' } : {}, { replace: true })}
      />
      <Shown state={people.state} again={people.reload}>
        {({ items, next }) => (
          <>
            {items.length === 0 ? (
              <p>{tell(message('desk-people-none'))}</p>
            ) : (
              <Table people={items} depots={depots} />
            )}
            {next !== null && <p>{tell(message('desk-people-more'))}</p>}
          </>
        )}
      </Shown>
      {me.state.value.value !== null && <Tokens timeZone={me.state.value.value.timeZone} />}
      {isAdding.value && <Add depots={depots} onClose={() => (isAdding.value = false)} />}
    </div>
  );
}

/** Who works with the fleet, how they sign in, and the tokens of programs. */
export function People() {
  return (
    <Switch>
      <Route path="/people/:id">{({ id }) => <OnePerson key={id} id={id} />}</Route>
      <Route>
        <PeopleList />
      </Route>
    </Switch>
  );
}
