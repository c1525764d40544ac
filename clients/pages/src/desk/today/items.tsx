import { Link } from 'wouter-preact';
import { Mark } from '../../kit/due/strip.js';
import { dayOfInstant } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { vehicleAddress } from '../addresses.js';
import { Action } from './action.js';
import {
  alertOf,
  eachOnce,
  type Matter,
  ownActions,
  type VehicleToDecide,
  vehicleActions,
  workOf,
} from './matters.js';
import { message } from './messages.js';
import type { Wanted } from './question.js';

/** The shape beside the word: what is unsafe or late, what is open, what is doubtful, what is to come. */
const SHAPES = {
  'released-with-findings': 'late',
  'at-once': 'late',
  defect: 'due',
  late: 'late',
  'loss-alert': 'due',
  'failed-report': 'due',
  'held-reading': 'no-baseline',
  visit: 'window',
} as const satisfies Record<Matter['kind'], string>;

/** A day says itself what it is; of an instant, the reasons say nothing. */
const SINCE: ReadonlySet<Matter['kind']> = new Set(['defect', 'loss-alert', 'held-reading']);

interface ItemProps {
  timeZone: string;
  onWanted: (wanted: Wanted) => void;
}

/** One matter: what it is, why, and what can be done. */
export function MatterItem({
  matter,
  vehicle,
  timeZone,
  onWanted,
}: ItemProps & { matter: Matter; vehicle: VehicleToDecide['vehicle'] | null }) {
  const { kind, reasons, since } = matter;
  const [first, ...others] = reasons;
  const unit = vehicle?.unitNumber ?? null;
  const what = [unit, workOf(matter) || alertOf(matter)].filter(Boolean).join(', ');
  return (
    <li class={`matter ${kind}`} data-matter={matter.id}>
      <p class="kind">
        <Mark state={SHAPES[kind]} /> <span>{tell(message(`desk-today-kind-${kind}`))}</span>
      </p>
      <div class="reasons">
        <p>{first?.text}</p>
        {others.length > 0 && <p class="faint">{others.map(({ text }) => text).join(' ')}</p>}
        {SINCE.has(kind) && (
          <p class="faint">{tell(message('desk-today-since', { on: dayOfInstant(since, timeZone) }))}</p>
        )}
      </div>
      <p class="actions">
        {ownActions(matter).map((link) => (
          <Action
            key={link.action}
            {...{ link, matter, what, vehicleId: vehicle?.id ?? null }}
            onWanted={() => onWanted({ link, matter, unit })}
          />
        ))}
      </p>
    </li>
  );
}

/** A vehicle with all that is to be decided about it, the worst first. */
export function VehicleItem({ item, ...props }: ItemProps & { item: VehicleToDecide }) {
  const { vehicle, matters } = item;
  const [worst] = matters;
  return (
    <li class="vehicle" data-vehicle={vehicle.id}>
      <div class="who">
        <h2>
          <Link class="unit" href={`~${vehicleAddress(vehicle.id)}`}>
            {vehicle.unitNumber}
          </Link>
        </h2>
        <p class="actions">
          {worst !== undefined &&
            vehicleActions(matters).map((link) => (
              <Action
                key={link.action}
                {...{ link, matter: worst, vehicleId: vehicle.id, what: vehicle.unitNumber }}
                onWanted={() => undefined}
              />
            ))}
        </p>
      </div>
      <ul>
        {eachOnce(matters).map((matter) => (
          <MatterItem key={`${matter.kind} ${matter.id}`} {...{ matter, vehicle }} {...props} />
        ))}
      </ul>
    </li>
  );
}
