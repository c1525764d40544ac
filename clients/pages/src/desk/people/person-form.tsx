import { type Signal, useSignal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { Field, faultsOf } from '../../kit/parts/field.js';
import { Fault } from '../../kit/parts/fault.js';
import { LANGUAGE_NAMES } from '../../kit/parts/shell.js';
import { LANGUAGES } from '../../kit/texts/loaded-languages.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { aboutRole, PERSON_ROLES, roleInWords } from './roles.js';

export type Depot = components['schemas']['DepotView'];
export type PersonInput = Required<
  Pick<components['schemas']['PersonInput'], 'name' | 'badge' | 'role' | 'depotIds' | 'language'>
>;

export const NOBODY: PersonInput = {
  name: '',
  badge: null,
  role: 'mechanic',
  depotIds: null,
  language: null,
};

const POINTERS = ['/name', '/badge', '/role', '/depotIds', '/language'];

function Depots({
  typed,
  depots,
  faults,
}: {
  typed: Signal<PersonInput>;
  depots: readonly Depot[];
  faults: readonly string[];
}) {
  const { role, depotIds } = typed.value;
  const turn = (id: string, isOn: boolean): void => {
    const others = (depotIds ?? []).filter((one) => one !== id);
    const chosen = isOn ? [...others, id] : others;
    typed.value = { ...typed.value, depotIds: chosen.length === 0 ? null : chosen };
  };
  return (
    <fieldset class="field depots-of">
      <legend>{tell(message('desk-person-depots'))}</legend>
      <p class="faint">
        {tell(message(role === 'manager' ? 'desk-person-depots-manager' : 'desk-person-depots-about'))}
      </p>
      {role !== 'manager' &&
        depots.map(({ id, name }) => (
          <label key={id} class="check">
            <input
              type="checkbox"
              checked={depotIds?.includes(id) ?? false}
              onChange={({ currentTarget }) => turn(id, currentTarget.checked)}
            />
            {name}
          </label>
        ))}
      {faults.length > 0 && <p class="fault">{faults.join(' ')}</p>}
    </fieldset>
  );
}

function NameAndBadge({ typed, problems }: { typed: Signal<PersonInput>; problems: readonly unknown[] }) {
  const { name, badge } = typed.value;
  return (
    <>
      <Field label={tell(message('desk-person-name'))} faults={faultsOf(problems, '/name')}>
        {(about) => (
          <input
            {...about}
            autocomplete="off"
            value={name}
            onInput={(e) => (typed.value = { ...typed.value, name: e.currentTarget.value })}
          />
        )}
      </Field>
      <Field label={tell(message('desk-person-badge'))} faults={faultsOf(problems, '/badge')}>
        {(about) => (
          <input
            {...about}
            autocomplete="off"
            value={badge ?? ''}
            onInput={(e) => (typed.value = { ...typed.value, badge: e.currentTarget.value || null })}
          />
        )}
      </Field>
    </>
  );
}

function RoleAndLanguage({ typed, problems }: { typed: Signal<PersonInput>; problems: readonly unknown[] }) {
  const { role, language } = typed.value;
  const choose = (value: string): void => {
    const chosen = PERSON_ROLES.find((one) => one === value) ?? role;
    typed.value = { ...typed.value, role: chosen, ...(chosen === 'manager' && { depotIds: null }) };
  };
  return (
    <>
      <Field label={tell(message('desk-person-role'))} faults={faultsOf(problems, '/role')}>
        {(about) => (
          <select {...about} value={role} onChange={(e) => choose(e.currentTarget.value)}>
            {PERSON_ROLES.map((one) => (
              <option key={one} value={one}>
                {roleInWords(one)}
              </option>
            ))}
          </select>
        )}
      </Field>
      <p class="faint">{aboutRole(role)}</p>
      <Field label={tell(message('desk-person-language'))} faults={faultsOf(problems, '/language')}>
        {(about) => (
          <select
            {...about}
            value={language ?? ''}
            onChange={(e) => {
              const chosen = LANGUAGES.find((one) => one === e.currentTarget.value) ?? null;
              typed.value = { ...typed.value, language: chosen };
            }}
          >
            <option value="">{tell(message('desk-person-language-of-fleet'))}</option>
            {LANGUAGES.map((one) => (
              <option key={one} value={one} lang={one}>
                {LANGUAGE_NAMES[one]}
              </option>
            ))}
          </select>
        )}
      </Field>
    </>
  );
}

/**
 * Asks for what is known of a person.
 *
 * @param way what the button says
 * @param onGiven throws what the service refuses, which is shown beside its field
 */
export function PersonForm({
  given,
  depots,
  way,
  onGiven,
}: {
  given: PersonInput;
  depots: readonly Depot[];
  way: string;
  onGiven: (input: PersonInput) => Promise<void>;
}) {
  const typed = useSignal(given);
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    isBusy.value = true;
    problem.value = null;
    try {
      await onGiven(typed.value);
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  const problems = [problem.value];
  const isOfField = POINTERS.some((pointer) => faultsOf(problems, pointer).length > 0);
  return (
    <form noValidate onSubmit={(event) => void submit(event)}>
      <NameAndBadge {...{ typed, problems }} />
      <RoleAndLanguage {...{ typed, problems }} />
      <Depots {...{ typed, depots }} faults={faultsOf(problems, '/depotIds')} />
      {problem.value !== null && !isOfField && <Fault problem={problem.value} />}
      <button type="submit" disabled={isBusy}>
        {way}
      </button>
    </form>
  );
}
