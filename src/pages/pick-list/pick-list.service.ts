import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { isSameLine } from '../../domain/intervals/same-work.js';
import type { WorkLine } from '../../domain/intervals/types.js';
import { pickList } from '../../domain/pick-list/pick-list.js';
import type { VisitToPick } from '../../domain/pick-list/visit-to-pick.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { type CircuitName, namedCircuit, recordedCircuit } from '../../domain/vehicles/circuits.js';
import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import { Depot } from '../../entities/depot.entity.js';
import { badQuery, noSuch } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { circuitsOf, circuitsOnCard, contentOf, otherCircuitsOf } from '../job-cards/card-content.js';
import { coolantStatesIn, stateKey } from '../job-cards/coolant-state.queries.js';
import { message } from './messages.js';
import type { PickListView } from './pick-list.dto.js';
import { leakRows, type LeakRow, type PickRow, pickRows } from './pick-list.queries.js';

/** More visits than a depot does in a day. */
const MOST_VISITS = 500;

@Injectable()
export class PickListService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  /**
   * What to take from the store for the visits of a depot on a day. The number of statements is the
   * same for one visit and for many.
   */
  async of(depotId: string, on: string, units: UnitSystem): Promise<PickListView> {
    const { fleetId } = fleetScope();
    const { manager } = this.dataSource;
    const depot = await manager.findOneBy(Depot, { fleetId, id: depotId });
    if (depot === null) throw badQuery('depotId', noSuch('depot'));
    const found = await pickRows(manager, fleetId, { depotId, on, limit: MOST_VISITS + 1 });
    if (found.length > MOST_VISITS) throw badQuery('on', message('pick-too-many', { most: MOST_VISITS }));
    const rows = found.map(withRecordedCircuits);
    const states = await coolantStatesIn(manager, fleetId, rows.flatMap(otherCircuits));
    const leaks = await leakRows(manager, fleetId, [...new Set(rows.map(({ vehicleId }) => vehicleId))]);
    const visits = rows.map((row): VisitToPick => {
      const { visitId, vehicleId, unitNumber, sheetId, lines } = row;
      const circuits = circuitsOf(row);
      const parts = circuitsOnCard(row, lines, circuits, (one) => states.get(stateKey(vehicleId, one)));
      return {
        ...{ visitId, vehicleId, unitNumber, sheetId, lines },
        firstCircuit: circuits.first,
        belts: row.belts ?? [],
        card: contentOf(row, parts, leaksIn(row, leaks), units),
      };
    });
    // The domain's measures become quantities when the response is shown.
    return {
      on,
      depot: { id: depot.id, name: depot.name },
      visits: rows.map(visitView),
      ...pickList(visits, units),
    } as unknown as PickListView;
  }
}

/** An interval and a follow-up may ask for the same work. */
function withRecordedCircuits(row: PickRow): PickRow {
  const circuits = circuitsOf(row);
  const lines = row.lines.map((line): WorkLine => {
    const circuit = recordedCircuit(line.circuit, circuits);
    return { ...line, circuit };
  });
  return {
    ...row,
    lines: lines.filter((line, index) => lines.findIndex((other) => isSameLine(other, line)) === index),
  };
}

const otherCircuits = (row: PickRow) =>
  otherCircuitsOf(row.lines, circuitsOf(row)).map((circuit) => ({ vehicleId: row.vehicleId, circuit }));

function leaksIn(row: PickRow, leaks: readonly LeakRow[]): Set<CircuitName | null> {
  const circuits = circuitsOf(row);
  const own = leaks.filter(({ vehicleId }) => vehicleId === row.vehicleId);
  return new Set(own.map(({ circuit }) => recordedCircuit(circuit, circuits)));
}

function visitView(row: PickRow) {
  const { visitId, vehicleId, unitNumber, lines } = row;
  const circuits = circuitsOf(row);
  return {
    ...{ visitId, vehicleId, unitNumber },
    lines: lines.map(({ component, action, item, circuit }) => ({
      ...{ component, action, item },
      circuit: (isInCircuit(component) ? namedCircuit(circuit, circuits) : null) ?? undefined,
    })),
  };
}
