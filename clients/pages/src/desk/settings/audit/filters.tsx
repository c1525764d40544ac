import { tell } from '../../../kit/texts/tell.js';
import { Choice } from '../../choice.js';
import { ACTIONS, KINDS, message } from './messages.js';
import type { Actors } from './names.js';

/** The filters, by their names in the address. */
export const NAMES = ['kind', 'action', 'actor', 'from', 'to', 'id'] as const;
export type FilterName = (typeof NAMES)[number];
export type Values = Record<FilterName, string>;

type Choose = (name: FilterName, value: string) => void;

function Day({ name, values, choose }: { name: 'from' | 'to'; values: Values; choose: Choose }) {
  return (
    <label>
      <span>{tell(message(`desk-audit-${name}`))}</span>
      <input
        type="date"
        value={values[name]}
        onChange={({ currentTarget }) => choose(name, currentTarget.value)}
      />
    </label>
  );
}

/** What of the audit is shown. */
export function AuditFilters({ values, choose, actors }: { values: Values; choose: Choose; actors: Actors }) {
  const all = { value: '', text: tell(message('desk-audit-all')) };
  const choices = {
    kind: KINDS.map((value) => ({ value: value as string, text: tell(message(`desk-audit-kind-${value}`)) })),
    action: ACTIONS.map((value) => ({
      value: value as string,
      text: tell(message(`desk-audit-action-${value}`)),
    })),
    actor: actors.map(([value, text]) => ({ value, text })),
  };
  return (
    <>
      <form class="filters" onSubmit={(event) => event.preventDefault()}>
        {(['kind', 'action', 'actor'] as const).map((name) => (
          <Choice
            key={name}
            label={tell(message(`desk-audit-${name}`))}
            value={values[name]}
            choices={[all, ...choices[name]]}
            onChoose={(value) => choose(name, value)}
          />
        ))}
        <Day name="from" {...{ values, choose }} />
        <Day name="to" {...{ values, choose }} />
      </form>
      {values.id !== '' && (
        <p>
          {tell(message('desk-audit-only-one'))}{' '}
          <button type="button" class="plain" onClick={() => choose('id', '')}>
            {tell(message('desk-audit-show-all'))}
          </button>
        </p>
      )}
    </>
  );
}
