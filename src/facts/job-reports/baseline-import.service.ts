import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import type { VehicleConclusion } from '../../conclusions/store/vehicle-conclusion.js';
import type { VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { noonOf } from '../../platform/csv/date-cells.js';
import type { ImportReport } from '../../platform/csv/import-report.js';
import type { ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import { Imports, type ImportSource } from '../../platform/csv/imports.js';
import type { Upload } from '../../platform/csv/upload.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { BASELINE_IMPORT, type BaselineRow, readBaselineRow } from './baseline-csv.js';
import {
  addTo,
  type Baseline,
  baselineColumns,
  hashOfRow,
  implausibleIn,
  noteUnasked,
  removeFrom,
} from './baseline-work.js';
import { insertBaselines, knownBaselines, sheetsOf, type SheetOfVehicle } from './baseline.queries.js';
import { ENGINE_ALONE, recordedCircuit } from '../../domain/vehicles/circuits.js';
import { lineFault } from './job-report-content.js';
import type { Message } from '../../domain/message.js';
import { dateToCome } from '../../platform/fields/wording.js';
import { message } from './baseline-messages.js';

const CHUNK = 1000;
/**
 * More than any vehicle has had done. Limits the work, because each report is compared with all
 * others of its vehicle.
 */
const MOST_OF_A_VEHICLE = 1000;
/**
 * The most rounds. Each one leaves out the counters that contradict the others, and concludes again
 * from the rest.
 */
const ROUNDS = 25;

/** Imports work that was done before records began. */
@Injectable()
export class BaselineImportService {
  constructor(
    private readonly imports: Imports,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * No reminder is sent at once for lines that become due through the import. The next morning's
   * sweep looks at every line.
   */
  import(source: Upload | ImportSource, query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.run('job-reports', source, query, BASELINE_IMPORT, async (tx, table, report) => {
      const counts = new Map<string, number>();
      for await (const chunk of table.chunks(CHUNK)) {
        const rows = chunk.map((row) => readBaselineRow(row, table));
        for (const { unit, faults } of rows) {
          const count = (counts.get(unit) ?? 0) + 1;
          counts.set(unit, count);
          if (count > MOST_OF_A_VEHICLE)
            faults.push({
              column: 'unit',
              value: unit,
              detail: message('baseline-on-too-many-rows', { most: MOST_OF_A_VEHICLE }),
            });
        }
        await this.take(tx, rows, report);
      }
    });
  }

  private async take(tx: EntityManager, rows: BaselineRow[], report: ImportReport): Promise<void> {
    const { fleetId, tokenId } = fleetScope();
    const now = this.clock.now();
    const fresh = await this.unknown(tx, await this.baselinesOf(tx, rows, now), report);
    const loaded =
      fresh.length === 0
        ? { histories: [], plans: new Map() }
        : await this.conclusions.load(tx, changesOf(fresh));
    const good = agreeing(fresh, loaded.histories);
    const { kept, conclusions } = await this.conclude(tx, loaded, good);
    for (const { line, faults } of rows) if (faults.length > 0) report.reject(line, faults);
    report.accepted += kept.length;
    if (report.isDoomed) return;
    noteUnasked(kept, loaded, report);
    await insertBaselines(
      tx,
      { fleetId, tokenId, receivedAt: now, importId: report.importId },
      baselineColumns(kept, conclusions),
    );
    await this.conclusions.store(tx, conclusions);
  }

  /** Makes reports from rows and locks their vehicles. */
  private async baselinesOf(tx: EntityManager, rows: BaselineRow[], now: Date): Promise<Baseline[]> {
    const units = [...new Set(rows.map(({ unit }) => unit))];
    const { fleetId } = fleetScope();
    const vehicles = await lockVehicles(tx, fleetId, [], units);
    const byUnit = new Map(vehicles.map(({ id, unit_number }) => [unit_number, id]));
    const sheets = await sheetsOf(
      tx,
      fleetId,
      vehicles.map(({ id }) => id),
    );
    return rows.flatMap((row) => {
      const id = byUnit.get(row.unit);
      return this.baselineOf(row, id, id === undefined ? undefined : sheets.get(id), now) ?? [];
    });
  }

  /** Makes a report from a row, and notes the row's faults. Returns null if there are any. */
  private baselineOf(
    row: BaselineRow,
    vehicleId: string | undefined,
    sheet: SheetOfVehicle | undefined,
    now: Date,
  ): Baseline | null {
    const { unit, on, work, faults } = row;
    const { timeZone } = fleetScope();
    if (vehicleId === undefined && unit !== '')
      faults.push({ column: 'unit', value: unit, detail: message('baseline-no-such-unit', { unit }) });
    if (on > civilDateAt(now.getTime(), timeZone))
      faults.push({ column: 'date', value: on, detail: dateToCome(on) });
    if (faults.length > 0 || vehicleId === undefined) return null;
    const { component, action, item = null } = work;
    const circuits = { first: sheet?.circuit ?? ENGINE_ALONE.first, others: [] };
    const recorded = { component, action, item, circuit: recordedCircuit(work.circuit, circuits) };
    const isCounted = row.odometerKm !== null || row.engineHours !== null;
    return {
      id: uuidv7(),
      usageId: isCounted ? uuidv7() : null,
      vehicleId,
      at: new Date(Math.min(noonOf(on, timeZone), now.getTime())),
      hash: hashOfRow(vehicleId, row, recorded),
      row,
      belts: sheet?.belts ?? [],
      work: recorded,
    };
  }

  /** Leaves out reports that were imported before, and repeated rows of the file. */
  private async unknown(tx: EntityManager, baselines: Baseline[], report: ImportReport): Promise<Baseline[]> {
    const known = await knownBaselines(
      tx,
      fleetScope().fleetId,
      [...new Set(baselines.map(({ vehicleId }) => vehicleId))],
      baselines.map(({ hash }) => hash),
    );
    const seen = new Set<string>();
    return baselines.filter(({ hash, row }) => {
      const before = known.get(hash);
      if (before === undefined && !seen.has(hash)) return seen.add(hash);
      report.duplicate++;
      if (before?.isVoided) report.notice({ line: row.line, detail: message('baseline-voided-before') });
      return false;
    });
  }

  /** Concludes with the new work, but without the work whose counters are implausible. */
  private async conclude(
    tx: EntityManager,
    loaded: Awaited<ReturnType<ConclusionsService['load']>>,
    baselines: Baseline[],
  ): Promise<{ kept: Baseline[]; conclusions: VehicleConclusion[] }> {
    const ofVehicle = new Map<string, Baseline[]>();
    for (const baseline of baselines.toSorted((a, b) => a.at.getTime() - b.at.getTime()))
      ofVehicle.set(baseline.vehicleId, [...(ofVehicle.get(baseline.vehicleId) ?? []), baseline]);
    let open = loaded.histories.filter(({ vehicleId }) => ofVehicle.has(vehicleId));
    for (const history of open) addTo(history, ofVehicle.get(history.vehicleId) ?? []);
    const conclusions: VehicleConclusion[] = [];
    for (let round = 1; open.length > 0; round++) {
      const again: VehicleHistory[] = [];
      for (const conclusion of await this.conclusions.derive(tx, { ...loaded, histories: open })) {
        const { history } = conclusion;
        const own = ofVehicle.get(history.vehicleId) ?? [];
        const found = implausibleIn(conclusion, own);
        if (found.length === 0) {
          conclusions.push(conclusion);
          continue;
        }
        const isEnough = round >= ROUNDS;
        const bad = isEnough
          ? own.filter(({ usageId }) => usageId !== null)
          : found.map(({ baseline }) => baseline);
        for (const baseline of bad) {
          const known = found.find((one) => one.baseline === baseline);
          noteCounter(baseline.row, known?.detail ?? message('baseline-counter-not-plausible'));
        }
        removeFrom(history, bad);
        ofVehicle.set(
          history.vehicleId,
          own.filter((baseline) => !bad.includes(baseline)),
        );
        again.push(history);
      }
      open = again;
    }
    return { kept: [...ofVehicle.values()].flat(), conclusions };
  }
}

function changesOf(baselines: readonly Baseline[]) {
  const earliest = new Map<string, Date>();
  for (const { vehicleId, at } of baselines) {
    const before = earliest.get(vehicleId);
    if (!before || at < before) earliest.set(vehicleId, at);
  }
  return [...earliest].map(([vehicleId, usageFrom]) => ({ vehicleId, usageFrom }));
}

/** Returns the reports that agree with their vehicles. Notes what is wrong with the others. */
function agreeing(baselines: Baseline[], histories: readonly VehicleHistory[]): Baseline[] {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  return baselines.filter(({ vehicleId, row, belts }) => {
    const history = byId.get(vehicleId);
    if (history) checkAgainst(row, history, belts);
    return row.faults.length === 0;
  });
}

/**
 * Notes a date before the vehicle's first day in service, and a belt or a circuit that its sheet
 * does not have.
 */
function checkAgainst(
  row: BaselineRow,
  { inServiceOn, circuits }: VehicleHistory,
  belts: { name: string }[],
): void {
  if (inServiceOn !== null && row.on < inServiceOn)
    row.faults.push({
      column: 'date',
      value: row.on,
      detail: message('baseline-before-service', { date: row.on, inService: inServiceOn }),
    });
  const fault = lineFault(row.work, belts, { ...circuits, unlisted: [] });
  if (fault === null) return;
  const value = row.work[fault.field];
  row.faults.push({ column: fault.field, ...(value ? { value } : {}), detail: fault.detail });
}

function noteCounter(row: BaselineRow, detail: Message): void {
  const column = row.odometerKm === null ? 'hours' : 'odometer';
  row.faults.push({ column, value: row.cells[column], detail });
}
