import { civilDateAt } from '../../domain/calendar/zone.js';
import { estimateNow, isStale } from '../../domain/usage/projection.js';
import type { DailyRate } from '../../domain/usage/types.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import type { CardVehicle } from './card/card-vehicle.dto.js';
import type { JobCardRow } from './job-card.queries.js';

interface Counter {
  at: Date | null;
  lifetime: number | null;
  offset: number | null;
  rate: DailyRate | null;
}

/** The vehicle as in the head of the card, with the present estimate of its counters. */
export function cardVehicle(id: string, row: JobCardRow, now: Date, timeZone: string): CardVehicle {
  const odometer: Counter = {
    at: row.odometerReadAt,
    lifetime: row.odometerLifetimeKm,
    offset: row.odometerOffsetKm,
    rate: row.distanceRate,
  };
  const hours: Counter = {
    at: row.engineHoursReadAt,
    lifetime: row.engineHoursLifetime,
    offset: row.engineHoursOffset,
    rate: row.engineHoursRate,
  };
  const readAt = [odometer.at, hours.at].reduce((last, at) => (at && (!last || at > last) ? at : last), null);
  const { unitNumber, make, model, modelYear, vin, serialNumber, duty, status, carrier, carries } = row;
  return {
    ...{ id, unitNumber, make, model, modelYear, vin, serialNumber, duty, status },
    mountedOn: carrier,
    carries,
    depot: depotOf(row),
    designLowTemperature: optionalMeasure('temperature', row.designLowTemperatureC),
    lastReadAt: readAt?.toISOString() ?? null,
    stale:
      readAt === null ||
      isStale(civilDateAt(readAt.getTime(), timeZone), civilDateAt(now.getTime(), timeZone)),
    estimatedOdometer: optionalMeasure('distance', estimateOf(odometer, now, timeZone)),
    estimatedEngineHours: optionalMeasure('engine-hours', estimateOf(hours, now, timeZone)),
  };
}

/** Where the work is done: the depot that the request names, or else the vehicle's own. */
function depotOf(row: JobCardRow): CardVehicle['depot'] {
  const [id, name, elevationM] =
    row.workedAtDepotId === null
      ? [row.depotId, row.depotName, row.elevationM]
      : [row.workedAtDepotId, row.workedAtDepotName, row.workedAtElevationM];
  if (id === null) return null;
  return { id, name: name ?? '', elevation: optionalMeasure('elevation', elevationM) };
}

/** What the counter shows now, estimated by its rate. Without a rate, what it showed last. */
function estimateOf({ at, lifetime, offset, rate }: Counter, now: Date, timeZone: string): number | null {
  if (at === null || lifetime === null) return null;
  const last = { at: at.getTime(), value: lifetime };
  const value = rate === null ? lifetime : estimateNow(rate, last, now.getTime(), timeZone);
  return value - (offset ?? 0);
}
