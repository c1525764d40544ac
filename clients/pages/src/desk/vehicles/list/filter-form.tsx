import { tell } from '../../../kit/texts/tell.js';
import type { Depot } from '../types.js';
import { message } from '../words/messages.js';
import { statusChoices } from '../words/words.js';
import { Choice, SearchField } from './choice.js';
import type { Filters } from './filters.js';

const lackingChoices = () =>
  (['plan', 'sheet'] as const).map((one) => [one, tell(message(`desk-vehicles-without-${one}`))] as const);

function OnlyReleased({ isOn, onTurn }: { isOn: boolean; onTurn: (isOn: boolean) => void }) {
  return (
    <label class="check">
      <input type="checkbox" checked={isOn} onChange={({ currentTarget: { checked } }) => onTurn(checked)} />
      {tell(message('desk-vehicles-only-released'))}
    </label>
  );
}

/** Which vehicles to show. */
export function FilterForm({
  filters,
  depots,
  onChange,
}: {
  filters: Filters;
  depots: readonly Depot[];
  onChange: (filters: Filters) => void;
}) {
  const any = ['', tell(message('desk-vehicles-all'))] as const;
  const change = (some: Partial<Filters>): void => onChange({ ...filters, ...some });
  return (
    <form
      class="filters"
      role="search"
      aria-label={tell(message('desk-vehicles-find'))}
      onSubmit={(event) => event.preventDefault()}
    >
      <SearchField
        label={tell(message('desk-vehicles-search'))}
        hint={tell(message('desk-vehicles-search-hint'))}
        value={filters.q}
        onType={(q) => change({ q })}
      />
      <Choice
        label={tell(message('desk-vehicle-depot'))}
        choices={[any, ...depots.map(({ id, name }) => [id, name] as const)]}
        value={filters.depot}
        onChoose={(depot) => change({ depot })}
      />
      <Choice
        label={tell(message('desk-vehicle-status'))}
        choices={[any, ...statusChoices()]}
        value={filters.status}
        onChoose={(status) => change({ status: status as Filters['status'] })}
      />
      <Choice
        label={tell(message('desk-vehicles-lacking'))}
        choices={[any, ...lackingChoices()]}
        value={filters.without}
        onChoose={(without) => change({ without: without as Filters['without'] })}
      />
      <OnlyReleased isOn={filters.released} onTurn={(released) => change({ released })} />
    </form>
  );
}
