import type { ComponentChildren } from 'preact';
import { Link } from 'wouter-preact';
import { dayInWords, momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import { vehicleAddress } from '../../addresses.js';
import type { SpecSheet, Usage, Vehicle } from '../types.js';
import { message } from '../words/messages.js';
import { makeInWords, monthsInWords, named, numberInWords, quantityInWords } from '../words/words.js';
import type { LoadedVehicle } from './load-vehicle.js';
import { Section } from './section.js';

function Fact({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function rateInWords(daily: Usage['dailyDistance']): string | null {
  if (daily === null) return null;
  const { low, high } = daily;
  const limits = { rate: quantityInWords(daily), low: numberInWords(low), high: numberInWords(high) };
  return tell(message('desk-vehicle-rate', limits));
}

function UsageFacts({ usage, timeZone }: { usage: Usage; timeZone: string }) {
  const notKnown = tell(message('desk-vehicle-not-known'));
  const now = [usage.estimatedOdometer, usage.estimatedEngineHours].filter(Boolean).map(quantityInWords);
  const rates = [usage.dailyDistance, usage.dailyEngineHours].map(rateInWords).filter(Boolean);
  const at = usage.lastReading === null ? null : momentInWords(usage.lastReading.readAt, timeZone);
  return (
    <>
      <Fact name={tell(message('desk-vehicle-now-about'))}>{now.join('; ') || notKnown}</Fact>
      <Fact name={tell(message('desk-vehicle-daily-use'))}>{rates.join('; ') || notKnown}</Fact>
      <Fact name={tell(message('desk-vehicle-last-read'))}>
        {at === null
          ? tell(message('desk-vehicle-never-read'))
          : usage.stale
            ? tell(message('desk-vehicle-read-long-ago', { at }))
            : at}
      </Fact>
    </>
  );
}

/** The closed coolant loops that its sheet describes. */
const circuitsOf = ({ circuit, otherCircuits }: SpecSheet): string =>
  [circuit ?? 'engine', ...(otherCircuits ?? []).map((other) => other.circuit)]
    .map((name) => named(`circuit-${name}`))
    .join(', ');

function Assigned({ vehicle, names }: Pick<LoadedVehicle, 'vehicle' | 'names'>) {
  const { sheet, depot, plan, carrier } = names;
  return (
    <>
      <Fact name={tell(message('desk-vehicle-depot'))}>
        {depot ?? tell(message('desk-vehicle-no-depot'))}
      </Fact>
      <Fact name={tell(message('desk-vehicle-plan'))}>{plan ?? tell(message('desk-vehicles-no-plan'))}</Fact>
      <Fact name={tell(message('desk-vehicle-sheet'))}>
        {sheet?.name ?? tell(message('desk-vehicles-no-sheet'))}
      </Fact>
      {sheet !== null && <Fact name={tell(message('desk-vehicle-circuits'))}>{circuitsOf(sheet)}</Fact>}
      {vehicle.mountedOn && carrier !== null && (
        <Fact name={tell(message('desk-vehicle-mounted-on'))}>
          <Link href={`~${vehicleAddress(vehicle.mountedOn)}`}>{carrier}</Link>
        </Fact>
      )}
    </>
  );
}

function Identity({ vehicle }: { vehicle: Vehicle }) {
  const { vin, serialNumber, inServiceOn, inUseMonths, notices } = vehicle;
  const make = makeInWords(vehicle);
  return (
    <>
      {make !== '' && <Fact name={tell(message('desk-vehicles-column-make'))}>{make}</Fact>}
      {vin && <Fact name={tell(message('desk-vehicle-vin'))}>{vin}</Fact>}
      {serialNumber && <Fact name={tell(message('desk-vehicle-serial-number'))}>{serialNumber}</Fact>}
      {notices.map(({ detail }) => (
        <Fact key={detail} name={tell(message('desk-vehicle-to-check'))}>
          {detail}
        </Fact>
      ))}
      {inServiceOn && (
        <Fact name={tell(message('desk-vehicle-in-service-on'))}>{dayInWords(inServiceOn)}</Fact>
      )}
      {inUseMonths && (
        <Fact name={tell(message('desk-vehicle-in-use-months'))}>{monthsInWords(inUseMonths)}</Fact>
      )}
    </>
  );
}

/** What the vehicle is, what it is assigned to, and where its counters stand. */
export function Facts({ loaded, children }: { loaded: LoadedVehicle; children: ComponentChildren }) {
  const { vehicle, usage, me } = loaded;
  return (
    <Section title={tell(message('desk-vehicle-facts'))}>
      <dl class="facts">
        <Identity vehicle={vehicle} />
        <Fact name={tell(message('desk-vehicle-status'))}>
          {tell(message(`desk-vehicle-status-${vehicle.status ?? 'in-use'}`))}
        </Fact>
        <Fact name={tell(message('desk-vehicle-duty'))}>
          {tell(message(`desk-vehicle-duty-${vehicle.duty ?? 'normal'}`))}
        </Fact>
        <Assigned vehicle={vehicle} names={loaded.names} />
        <UsageFacts usage={usage} timeZone={me.timeZone} />
      </dl>
      {children}
    </Section>
  );
}
