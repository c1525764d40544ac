import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { Fleet } from '../../entities/fleet.entity.js';
import { VehicleLabel } from '../../entities/vehicle-label.entity.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { readPage, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { Page } from '../../platform/pages/pages.js';
import { noSuch, notFound, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Language } from '../../platform/words/languages.js';
import { pathOfLabel, readCode } from './label-code.js';
import type { LabelsMade, LabelsQuery, LabelView } from './label.dto.js';
import { type LabelRow, labelsOf, labelWith, makeLabels, renewLabel } from './labels.queries.js';
import { message } from './messages.js';

/** How many labels one request makes. */
const MOST_MADE = 1000;

const BY_UNIT = new Keyset('vehicle_labels', { unitNumber: KEY.text, id: KEY.uuid });

/** The labels on the vehicles, as managers make, print and revoke them. */
@Injectable()
export class LabelsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  /** @param origin the address of the service, which the QR code begins with */
  async get(vehicleId: string, origin: string): Promise<LabelView> {
    return this.shown(this.dataSource.manager, vehicleId, origin);
  }

  /**
   * The label with a code. A code of another fleet or depot is as unknown as one that never was.
   * It need not be switched on for drivers: whoever asks is signed in.
   */
  async find(code: string, origin: string): Promise<LabelView> {
    const read = readCode(code);
    if (read === null || read.fleetId !== fleetScope().fleetId) throw notFound('label');
    const { manager } = this.dataSource;
    const row = await labelWith(manager, read.secret);
    const [view] = await this.viewsOf(manager, row === null ? [] : [row], origin);
    if (view === undefined) throw notFound('label');
    return view;
  }

  async list(query: LabelsQuery, origin: string): Promise<Page<LabelView>> {
    const { depotId, vehicleIds } = query;
    const { manager } = this.dataSource;
    const page = BY_UNIT.page(query, { depotId, vehicleIds });
    const builder = manager
      .createQueryBuilder(Vehicle, 'v')
      .where('v.fleetId = :fleetId', { fleetId: fleetScope().fleetId })
      .andWhere(
        'exists (select from vehicle_labels l where l.fleet_id = v.fleet_id and l.vehicle_id = v.id)',
      );
    if (depotId) builder.andWhere('v.depotId = :depotId', { depotId });
    if (vehicleIds) builder.andWhere('v.id = any(:ids::uuid[])', { ids: vehicleIds.split(',') });
    const rows = await readPage(builder, page, 'ASC');
    const labels = await labelsOf(
      manager,
      rows.map(({ id }) => id),
    );
    const views = await this.viewsOf(manager, labels, origin);
    const byId = new Map(views.map((view) => [view.vehicleId, view]));
    const shown = page.of(rows, ({ id }) => byId.get(id));
    // A label that was revoked between the two statements has no view.
    return { ...shown, items: shown.items.filter((view) => view !== undefined) };
  }

  /** Makes the label of a vehicle. If it has one, returns that. */
  make(vehicleId: string, origin: string): Promise<{ body: LabelView; status?: number }> {
    return this.transactions.ofVehicle(vehicleId).writeWith(async (tx) => {
      const { status } = await rowOf(tx, Vehicle, vehicleId, 'vehicle');
      if (status === 'disposed') throw unacceptable([{ pointer: '', detail: message('label-of-disposed') }]);
      const made = await makeLabels(tx, { vehicleIds: [vehicleId] }, this.clock.now(), 1);
      return { body: await this.shown(tx, vehicleId, origin), status: made > 0 ? 201 : 200 };
    });
  }

  /** Makes labels for vehicles that have none. */
  makeMissing(depotId: string | null): Promise<LabelsMade> {
    return this.transactions.write(async (tx) => {
      if (depotId !== null && !(await tx.existsBy(Depot, { fleetId: fleetScope().fleetId, id: depotId })))
        throw unacceptable([{ pointer: '/depotId', detail: noSuch('depot') }]);
      const made = await makeLabels(tx, { depotId }, this.clock.now(), MOST_MADE);
      return { made, complete: made < MOST_MADE };
    }, 200);
  }

  renew(vehicleId: string, origin: string): Promise<LabelView> {
    return this.transactions.ofVehicle(vehicleId).write(async (tx) => {
      await rowOf(tx, Vehicle, vehicleId, 'vehicle');
      if (!(await renewLabel(tx, vehicleId, this.clock.now()))) throw notFound('label');
      return this.shown(tx, vehicleId, origin);
    }, 200);
  }

  revoke(vehicleId: string): Promise<void> {
    return this.transactions.ofVehicle(vehicleId).write(async (tx) => {
      const { fleetId } = fleetScope();
      await rowOf(tx, Vehicle, vehicleId, 'vehicle');
      const { affected } = await tx.delete(VehicleLabel, { fleetId, vehicleId });
      if (affected === 0) throw notFound('label');
    }, 204);
  }

  /** The fleet's language. The label is for its drivers, whoever prints it. */
  async language(): Promise<Language> {
    return (await fleetOf(this.dataSource.manager)).language;
  }

  private async shown(manager: EntityManager, vehicleId: string, origin: string): Promise<LabelView> {
    const [view] = await this.viewsOf(manager, await labelsOf(manager, [vehicleId]), origin);
    if (view !== undefined) return view;
    await rowOf(manager, Vehicle, vehicleId, 'vehicle');
    throw notFound('label');
  }

  private async viewsOf(
    manager: EntityManager,
    labels: readonly LabelRow[],
    origin: string,
  ): Promise<LabelView[]> {
    if (labels.length === 0) return [];
    const { id: fleetId, driverLabels: takes } = await fleetOf(manager);
    return labels.map(({ id, unitNumber, secret, madeAt }) => ({
      ...{ vehicleId: id, unitNumber, takes },
      address: origin + pathOfLabel(fleetId, secret),
      madeAt: madeAt.toISOString(),
    }));
  }
}

function fleetOf(manager: EntityManager): Promise<Fleet> {
  return manager.findOneByOrFail(Fleet, { id: fleetScope().fleetId });
}
