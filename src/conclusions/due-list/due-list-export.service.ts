import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { Measure, MeasureKind, UnitSystem } from '../../domain/quantities/measures.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { headed, inUnits } from '../../platform/csv/csv-answer.js';
import { type Cell, csvLine } from '../../platform/csv/csv-text.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Reader } from '../../platform/words/render.js';
import { toldTo } from '../../platform/words/shown-messages.js';
import type { DueLineView } from './due-line-view.js';
import type { DueListQuery } from './due-list.dto.js';
import { depotNames } from './due-list.queries.js';
import { DueListService } from './due-list.service.js';

const CHUNK = 500;

interface Column {
  name: string;
  measure?: MeasureKind;
  /** A quantity is still in its canonical unit here. */
  of: (line: DueLineView, depots: ReadonlyMap<string, string>) => Cell | Quantity;
}

const COLUMNS: readonly Column[] = [
  { name: 'dueOn', of: (line) => line.dueOn },
  { name: 'state', of: (line) => line.state },
  { name: 'unitNumber', of: (line) => line.vehicle.unitNumber },
  {
    name: 'depot',
    of: ({ vehicle: { depotId } }, depots) => (depotId === null ? null : (depots.get(depotId) ?? depotId)),
  },
  { name: 'component', of: (line) => line.component },
  { name: 'action', of: (line) => line.action },
  { name: 'item', of: (line) => line.item },
  { name: 'circuit', of: (line) => line.circuit ?? null },
  { name: 'origin', of: (line) => line.origin },
  { name: 'trigger', of: (line) => line.trigger },
  { name: 'windowOpensOn', of: (line) => line.windowOpensOn },
  { name: 'lateOn', of: (line) => line.lateOn },
  { name: 'earliestOn', of: (line) => line.earliestOn },
  { name: 'latestOn', of: (line) => line.latestOn },
  { name: 'dueDate', of: (line) => line.dueAt.date },
  { name: 'dueOdometer', measure: 'distance', of: (line) => line.dueAt.odometer },
  { name: 'dueEngineHours', measure: 'engine-hours', of: (line) => line.dueAt.engineHours },
  { name: 'remainingDays', of: (line) => line.remaining.days },
  { name: 'remainingDistance', measure: 'distance', of: (line) => line.remaining.distance },
  { name: 'remainingEngineHours', measure: 'engine-hours', of: (line) => line.remaining.engineHours },
  { name: 'lastDoneOn', of: (line) => line.lastDone?.on ?? null },
  { name: 'lastDoneOdometer', measure: 'distance', of: (line) => line.lastDone?.odometer ?? null },
  { name: 'lastDoneEngineHours', measure: 'engine-hours', of: (line) => line.lastDone?.engineHours ?? null },
  { name: 'stale', of: (line) => line.stale },
  { name: 'needsReading', of: (line) => line.needsReading },
  { name: 'postponedUntil', of: (line) => line.postponedUntil },
  { name: 'atOnce', of: (line) => line.atOnce },
  { name: 'causes', of: ({ causes }) => causes.map(({ text }) => text).join(' ') || null },
  { name: 'basis', of: ({ basis }) => basis.map(({ text }) => text).join(' ') || null },
  { name: 'releasedWithFindings', of: (line) => line.releasedWithFindings },
  { name: 'vehicleId', of: (line) => line.vehicle.id },
  { name: 'id', of: (line) => line.id },
];

/** Writes the due list as CSV for spreadsheets. */
@Injectable()
export class DueListExportService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly dueList: DueListService,
  ) {}

  async *export(query: DueListQuery, reader: Reader & { units: UnitSystem }): AsyncGenerator<string> {
    const { units } = reader;
    const tell = toldTo(reader);
    yield csvLine(COLUMNS.map(({ name, measure }) => (measure ? headed(name, measure, units) : name)));
    for (let cursor: string | undefined; ;) {
      const wanted = this.dueList.read({ ...query, ...(cursor === undefined ? {} : { cursor }) }, CHUNK);
      const { items, next } = await this.dueList.page(wanted, undefined, tell);
      const depotIds = [...new Set(items.flatMap(({ vehicle }) => vehicle.depotId ?? []))];
      const depots = await depotNames(this.dataSource.manager, fleetScope().fleetId, depotIds);
      const lines = items.map((line) =>
        csvLine(COLUMNS.map((column) => cellOf(column, line, depots, units))),
      );
      if (lines.length > 0) yield lines.join('');
      if (next === null) return;
      cursor = next;
    }
  }
}

function cellOf(
  { measure, of }: Column,
  line: DueLineView,
  depots: ReadonlyMap<string, string>,
  units: UnitSystem,
): Cell {
  const cell = of(line, depots);
  if (typeof cell !== 'object' || cell === null) return cell;
  // The services give measures. They are quantities only once they are shown.
  return measure ? inUnits(measure, (cell as unknown as Measure).value, units) : null;
}
