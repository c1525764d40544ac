import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { TelematicsMachine, TelematicsSource } from '../../../entities/telematics-source.entity.js';
import { lockedRowOf, readPage, rowOf } from '../../../platform/database/records.js';
import { Transactions } from '../../../platform/database/transactions.js';
import { KEY, Keyset } from '../../../platform/pages/keyset.js';
import type { Page } from '../../../platform/pages/pages.js';
import { optionalMeasure } from '../../../platform/presenting/measures.js';
import { noSuch, notFound, unacceptable } from '../../../platform/problems/problem.js';
import { fleetScope } from '../../../platform/scope/fleet-scope.js';
import { shownMessage } from '../../../platform/words/shown-messages.js';
import { lockVehicles } from '../../../register/vehicles/vehicles.queries.js';
import { message } from '../messages.js';
import type { MachineMappingInput, MachinesQuery, TelematicsMachineView } from './telematics-machine.dto.js';

const FIRST_SEEN_FIRST = new Keyset('telematics-machines', { id: KEY.uuid });

const WHERE: Record<NonNullable<MachinesQuery['state']>, string> = {
  known: 'm.vehicleId is not null',
  unknown: 'm.vehicleId is null',
  beside: 'm.vehicleId is not null and m.isBeside',
};

/** The machines that sources name, and which vehicles they are. */
@Injectable()
export class TelematicsMachinesService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
  ) {}

  async list(sourceId: string, query: MachinesQuery): Promise<Page<TelematicsMachineView>> {
    const { manager } = this.dataSource;
    const { fleetId } = await rowOf(manager, TelematicsSource, sourceId, 'telematics source');
    const { state } = query;
    const page = FIRST_SEEN_FIRST.page(query, { sourceId, state });
    const builder = manager
      .createQueryBuilder(TelematicsMachine, 'm')
      .where('m.fleetId = :fleetId and m.sourceId = :sourceId', { fleetId, sourceId });
    if (state) builder.andWhere(WHERE[state]);
    const rows = await readPage(builder, page, 'ASC');
    const units = await unitNumbers(manager, fleetId, rows);
    return page.of(rows, (row) => viewOf(row, units));
  }

  /** Says which vehicle a machine is. The next poll or post counts for that vehicle. */
  map(sourceId: string, id: string, input: MachineMappingInput): Promise<TelematicsMachineView> {
    return this.change(sourceId, id, async (tx) => {
      const vehicleId = await vehicleNamed(tx, input);
      return { vehicleId, matchedBy: 'mapping' as const, isAmbiguous: false };
    });
  }

  /** Takes such a mapping back. The next poll or post recognises the machine by its numbers. */
  unmap(sourceId: string, id: string): Promise<TelematicsMachineView> {
    return this.change(sourceId, id, () => Promise.resolve({ vehicleId: null, matchedBy: null }));
  }

  private change(
    sourceId: string,
    id: string,
    changes: (tx: EntityManager) => Promise<Partial<TelematicsMachine>>,
  ): Promise<TelematicsMachineView> {
    return this.transactions.write(async (tx) => {
      // A poll that is taking a page has locked the source.
      const { fleetId } = await lockedRowOf(tx, TelematicsSource, sourceId, 'telematics source');
      const machine = await rowOf(tx, TelematicsMachine, id, 'telematics machine');
      if (machine.sourceId !== sourceId) throw notFound('telematics machine');
      const changed = await changes(tx);
      // What was last taken belongs to the history of another vehicle.
      const anew =
        changed.vehicleId === machine.vehicleId
          ? {}
          : { odometerKm: null, odometerAt: null, engineHours: null, engineHoursAt: null, isBeside: false };
      await tx.update(TelematicsMachine, { fleetId, id }, { ...changed, ...anew });
      const row = Object.assign(machine, changed, anew);
      return viewOf(row, await unitNumbers(tx, fleetId, [row]));
    }, 200);
  }
}

/** @throws Problem 422 for no vehicle, or one that there is not */
async function vehicleNamed(
  tx: EntityManager,
  { vehicleId, unitNumber }: MachineMappingInput,
): Promise<string> {
  if (vehicleId == null && unitNumber == null)
    throw unacceptable([{ pointer: '/vehicleId', detail: message('source-vehicle-needed') }]);
  const ids = vehicleId == null ? [] : [vehicleId.toLowerCase()];
  const units = vehicleId == null && unitNumber != null ? [unitNumber.trim()] : [];
  const [vehicle] = await lockVehicles(tx, fleetScope().fleetId, ids, units);
  if (vehicle) return vehicle.id;
  const pointer = vehicleId == null ? '/unitNumber' : '/vehicleId';
  throw unacceptable([{ pointer, detail: noSuch('vehicle') }]);
}

async function unitNumbers(
  manager: EntityManager,
  fleetId: string,
  machines: readonly TelematicsMachine[],
): Promise<Map<string, string>> {
  const ids = machines.flatMap(({ vehicleId }) => vehicleId ?? []);
  if (ids.length === 0) return new Map();
  const rows = await manager.query<{ id: string; unit: string }[]>(
    'select id, unit_number as unit from vehicles where fleet_id = $1 and id = any($2::uuid[])',
    [fleetId, ids],
  );
  return new Map(rows.map(({ id, unit }) => [id, unit]));
}

function viewOf(machine: TelematicsMachine, units: ReadonlyMap<string, string>): TelematicsMachineView {
  const { id, vin, serialNumber, equipmentId, make, model, vehicleId, matchedBy } = machine;
  const { taken, held, refused, lastRefusal } = machine;
  return {
    ...{ id, vin, serialNumber, equipmentId, make, model, vehicleId, matchedBy },
    unitNumber: vehicleId === null ? null : (units.get(vehicleId) ?? null),
    ambiguous: machine.isAmbiguous,
    beside: machine.isBeside,
    firstSeenAt: machine.firstSeenAt.toISOString(),
    lastSeenAt: machine.lastSeenAt.toISOString(),
    reportedAt: machine.reportedAt?.toISOString() ?? null,
    odometer: optionalMeasure('distance', machine.odometerKm),
    engineHours: optionalMeasure('engine-hours', machine.engineHours),
    ...{ taken, held, refused, lastRefusal: lastRefusal && shownMessage(lastRefusal) },
  };
}
