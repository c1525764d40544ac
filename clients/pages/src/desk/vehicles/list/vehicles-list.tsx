import { useSignal } from '@preact/signals';
import { Link, useSearchParams } from 'wouter-preact';
import { Shown } from '../../../kit/parts/loading.js';
import { Heading } from '../../../kit/parts/shell.js';
import { useDepots } from '../../../kit/service/depots.js';
import { mayManage } from '../../../kit/service/me.js';
import { tell } from '../../../kit/texts/tell.js';
import { useSelection } from '../../due/selection.js';
import { PrintLabels } from '../labels/print-labels.js';
import type { Depot } from '../types.js';
import { message } from '../words/messages.js';
import { FilterForm } from './filter-form.js';
import { addressOf, filtersOf } from './filters.js';
import { useVehicles, type VehiclesShown } from './vehicle-pages.js';
import { VehicleTable } from './vehicle-table.js';

/** What can be done with the selected rows. */
function Chosen({ count, onPrint }: { count: number; onPrint: () => void }) {
  return (
    <div
      class={count === 0 ? 'unseen' : 'bulk'}
      role="group"
      aria-label={tell(message('desk-vehicles-selected-rows'))}
    >
      <p role="status">{tell(message('desk-vehicles-selected', { count }))}</p>
      {count > 0 && (
        <button type="button" onClick={onPrint}>
          {tell(message('desk-labels-print-selected'))}
        </button>
      )}
    </div>
  );
}

function Rows({
  shown: { items, next },
  depots,
  onMore,
}: {
  shown: VehiclesShown;
  depots: readonly Depot[];
  onMore: () => void;
}) {
  const isPrinting = useSignal(false);
  const selection = useSelection(items.map(({ id }) => id));
  const chosen = items.filter(({ id }) => selection.selected.value.has(id));
  if (items.length === 0) return <p>{tell(message('desk-vehicles-none'))}</p>;
  return (
    <>
      {mayManage() && <Chosen count={chosen.length} onPrint={() => (isPrinting.value = true)} />}
      <VehicleTable
        {...{ vehicles: items, selection }}
        depotNames={new Map(depots.map(({ id, name }) => [id, name]))}
      />
      <p class="more">
        {tell(message('desk-vehicles-shown', { count: items.length, all: next === null ? 'yes' : 'no' }))}{' '}
        {next !== null && (
          <button type="button" onClick={onMore}>
            {tell(message('desk-vehicles-more'))}
          </button>
        )}
      </p>
      {mayManage() && <p class="faint keys">{tell(message('desk-vehicles-keys'))}</p>}
      {isPrinting.value && <PrintLabels vehicles={chosen} onClose={() => (isPrinting.value = false)} />}
    </>
  );
}

/** Finds vehicles. */
export function VehiclesList() {
  const [asked, ask] = useSearchParams();
  const filters = filtersOf(asked);
  const list = useVehicles(filters);
  const depots = useDepots();
  return (
    <div class="vehicles-view">
      <div class="title">
        <Heading>{tell(message('desk-vehicles'))}</Heading>
        {mayManage() && (
          <Link class="button" href="/vehicles/new">
            {tell(message('desk-vehicle-add'))}
          </Link>
        )}
      </div>
      <FilterForm
        {...{ filters, depots }}
        onChange={(changed) => ask(addressOf(changed), { replace: true })}
      />
      <Shown state={list.state} again={list.reload}>
        {(shown) => <Rows {...{ shown, depots }} onMore={() => void list.more()} />}
      </Shown>
    </div>
  );
}
