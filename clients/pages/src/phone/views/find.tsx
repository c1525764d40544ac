import { Link } from 'wouter-preact';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { tell } from '../../kit/texts/tell.js';
import { keepLabels } from '../loading/labels.js';
import { type DueLines, keepVehicles, loadDue } from '../loading/load-vehicle.js';
import { who } from '../signed-in/who.js';
import { message } from '../words/messages.js';
import { Age } from './parts/frame.js';
import { Search, VehicleLink, vehiclesDue } from './parts/search.js';

function Due({ lines }: { lines: DueLines }) {
  const vehicles = vehiclesDue(lines);
  return (
    <>
      <h2>{tell(message('phone-due'))}</h2>
      {vehicles.length === 0 && <p role="status">{tell(message('phone-none-due'))}</p>}
      <ul class="vehicles">
        {vehicles.map((one) => (
          <VehicleLink key={one.vehicle.id} {...one} />
        ))}
      </ul>
    </>
  );
}

/** Keeps for a time without a network what the day may need. */
async function keepForLater(person: string, due: DueLines): Promise<void> {
  await keepVehicles(person, due);
  await keepLabels(person).catch(() => undefined);
}

/** The first screen: a vehicle by its label, by its number, or from what is due. */
export function Find() {
  const person = who.value?.key ?? '';
  const { state, reload } = useLoaded(async () => {
    const due = await loadDue(person);
    if (!due.isOld) void keepForLater(person, due.value);
    return due;
  }, [person]);
  return (
    <>
      <Heading>{tell(message('phone-vehicles'))}</Heading>
      <Link href="/scan" class="button main">
        {tell(message('phone-scan'))}
      </Link>
      <Shown state={state} again={reload}>
        {({ value, at, isOld }) => (
          <>
            <Age at={at} isOld={isOld} />
            <Search due={value}>
              <Due lines={value} />
            </Search>
          </>
        )}
      </Shown>
    </>
  );
}
