import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { Choice } from '../choice.js';
import { message } from './messages.js';
import { VERDICTS, verdictInWords } from './words.js';

const MOST_DEPOTS = 200;

/** In the address, and in the order of the form. */
export const NAMES = ['depot', 'verdict', 'from', 'to', 'vehicle'] as const;
export type Values = Record<(typeof NAMES)[number], string>;

/** The same as the service is asked. */
export function queryOf({ depot, verdict, from, to, vehicle }: Values) {
  const known = VERDICTS.find((one) => one === verdict);
  return {
    ...(depot !== '' && { depotId: depot }),
    ...(known && { verdict: known }),
    ...(from !== '' && { from }),
    ...(to !== '' && { to }),
    ...(vehicle !== '' && { vehicleId: vehicle }),
  };
}

function useDepotChoices() {
  const { state } = useLoaded(
    async (client, signal) =>
      (await client.get('/v1/depots', { query: { limit: String(MOST_DEPOTS) }, signal })).data.items,
    [],
  );
  return (state.value.value ?? []).map(({ id, name }) => ({ value: id, text: name }));
}

/** The filters of the reports. */
export function FilterForm({
  values,
  choose,
  unit,
}: {
  values: Values;
  choose: (name: (typeof NAMES)[number], value: string) => void;
  /** Of the vehicle that the reports are about, where they are of one. */
  unit: string;
}) {
  const depots = useDepotChoices();
  const verdicts = VERDICTS.map((value) => ({ value, text: verdictInWords(value) }));
  return (
    <form class="filters" role="search" aria-label={tell(message('desk-reports-filter'))}>
      <Choice
        label={tell(message('desk-reports-depot'))}
        choices={[{ value: '', text: tell(message('desk-reports-all-depots')) }, ...depots]}
        value={values.depot}
        onChoose={(value) => choose('depot', value)}
      />
      <Choice
        label={tell(message('desk-reports-verdict'))}
        choices={[{ value: '', text: tell(message('desk-reports-all-verdicts')) }, ...verdicts]}
        value={values.verdict}
        onChoose={(value) => choose('verdict', value)}
      />
      {(['from', 'to'] as const).map((name) => (
        <label key={name}>
          <span>{tell(message(`desk-reports-${name}`))}</span>
          <input
            type="date"
            value={values[name]}
            onChange={({ currentTarget }) => choose(name, currentTarget.value)}
          />
        </label>
      ))}
      {values.vehicle !== '' && (
        <p class="of-one">
          {tell(message('desk-reports-of-vehicle', { unit }))}{' '}
          <button type="button" class="plain" onClick={() => choose('vehicle', '')}>
            {tell(message('desk-reports-of-all'))}
          </button>
        </p>
      )}
    </form>
  );
}
