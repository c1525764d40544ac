import { memo } from 'preact/compat';
import { Link } from 'wouter-preact';
import { vehicleAddress } from '../../addresses.js';
import type { Selection } from '../../due/selection.js';
import { mayManage } from '../../../kit/service/me.js';
import { reader, tell } from '../../../kit/texts/tell.js';
import type { Vehicle } from '../types.js';
import { message } from '../words/messages.js';
import { makeInWords } from '../words/words.js';

const COLUMNS = ['unit', 'make', 'vin', 'depot', 'status', 'lacks'] as const;

/** What somebody has to decide or to complete, in sentences. */
function lacksInWords({ releasedWithFindings, intervalPlanId, specSheetId }: Vehicle): string {
  return [
    releasedWithFindings !== null && tell(message('desk-vehicles-released')),
    intervalPlanId === null && tell(message('desk-vehicles-no-plan')),
    specSheetId === null && tell(message('desk-vehicles-no-sheet')),
  ]
    .filter((text) => text !== false)
    .join(' ');
}

interface RowProps {
  vehicle: Vehicle;
  depot: string;
  isSelected: boolean;
  /** Whether it is the row that Tab comes to. */
  isActive: boolean;
  onTouch: Selection['touch'];
  /** Changes with the language, so that the rows are drawn again. */
  language: string;
}

const Row = memo(function Row({ vehicle, depot, isSelected, isActive, onTouch }: RowProps) {
  const { id, unitNumber, vin, serialNumber, status, releasedWithFindings } = vehicle;
  const tabIndex = isActive ? 0 : -1;
  return (
    <tr data-line={id} class={releasedWithFindings === null ? '' : 'at-once'} aria-selected={isSelected}>
      <td class="pick">
        {mayManage() && (
          <input
            type="checkbox"
            aria-label={tell(message('desk-vehicles-select', { unit: unitNumber }))}
            checked={isSelected}
            tabIndex={tabIndex}
            onClick={(event) => onTouch(id, event.currentTarget.checked, event.shiftKey)}
          />
        )}
      </td>
      <th scope="row">
        <Link class="unit" href={`~${vehicleAddress(id)}`} tabIndex={tabIndex}>
          {unitNumber}
        </Link>
      </th>
      <td class="make">{makeInWords(vehicle)}</td>
      <td class="vin">{vin ?? serialNumber ?? ''}</td>
      <td class="depot">{depot}</td>
      <td class="status">{tell(message(`desk-vehicle-status-${status ?? 'in-use'}`))}</td>
      <td class="lacks">{lacksInWords(vehicle)}</td>
    </tr>
  );
});

function Head({ count, selection }: { count: number; selection: Selection }) {
  const chosen = selection.selected.value.size;
  return (
    <thead>
      <tr>
        <td class="pick">
          {mayManage() && (
            <input
              type="checkbox"
              aria-label={tell(message('desk-vehicles-select-all'))}
              checked={count > 0 && chosen >= count}
              indeterminate={chosen > 0 && chosen < count}
              onChange={({ currentTarget }) => selection.all(currentTarget.checked)}
            />
          )}
        </td>
        {COLUMNS.map((column) => (
          <th key={column} scope="col" class={column}>
            {tell(message(`desk-vehicles-column-${column}`))}
          </th>
        ))}
      </tr>
    </thead>
  );
}

/** The vehicles as a dense table, by unit number. */
export function VehicleTable({
  vehicles,
  depotNames,
  selection,
}: {
  vehicles: readonly Vehicle[];
  depotNames: ReadonlyMap<string, string>;
  selection: Selection;
}) {
  const active = vehicles.find(({ id }) => id === selection.active.value) ?? vehicles[0];
  const depotOf = ({ depotId }: Vehicle): string =>
    depotId ? (depotNames.get(depotId) ?? '…') : tell(message('desk-vehicle-no-depot'));
  return (
    <table class="vehicles" onKeyDown={selection.keys}>
      <caption class="unseen">{tell(message('desk-vehicles'))}</caption>
      <Head count={vehicles.length} selection={selection} />
      <tbody>
        {vehicles.map((vehicle) => (
          <Row
            key={vehicle.id}
            {...{ vehicle, language: reader.value.language, onTouch: selection.touch }}
            depot={depotOf(vehicle)}
            isSelected={selection.selected.value.has(vehicle.id)}
            isActive={vehicle === active}
          />
        ))}
      </tbody>
    </table>
  );
}
