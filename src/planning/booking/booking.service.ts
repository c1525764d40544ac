import { Injectable, Logger } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { dueLineView, type DueLineView } from '../../conclusions/due-list/due-line-view.js';
import { dueLineRow } from '../../conclusions/due-list/due-list.queries.js';
import type { ManyLinesResult } from '../../conclusions/due-list/many-lines.dto.js';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { addMonths } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import { labourOf, visitHours } from '../../domain/visits/labour-hours.js';
import { HOURS_ROUNDING } from '../../domain/visits/visit-cost.js';
import { Depot } from '../../entities/depot.entity.js';
import { DueLine } from '../../entities/due-line.entity.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { eachOfIds } from '../../platform/http/each-of-ids.js';
import { conflict, type Problem, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Reader } from '../../platform/words/render.js';
import { dayFault } from '../visit-plans/day-fault.js';
import { labourHoursOf } from '../visit-plans/depot-problems.js';
import { message as planMessage } from '../visit-plans/messages.js';
import type { BookInput } from './booking.dto.js';
import { bookLine, hoursOfOthers, type LineToBook, linesToBook } from './booking.queries.js';
import { message } from './messages.js';

/** A later day is better asked of the due list again; common practice, no source. */
const MOST_MONTHS = 12;

type Wanted = Omit<BookInput, 'ids'>;

/** Books visits for due lines, without a plan. */
@Injectable()
export class BookingService {
  private readonly logger = new Logger('visits');

  constructor(
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * Books due lines, each by itself. A line joins the visit that its vehicle has on that day, so
   * the lines of a vehicle become one visit.
   *
   * @param reader of the problems of single lines
   */
  async bookMany({ ids, ...wanted }: BookInput, reader: Reader): Promise<ManyLinesResult> {
    const act = (id: string): Promise<DueLineView> => this.book(id, wanted);
    const pathOf = (): string => '/v1/visits/book';
    const outcomes = await eachOfIds({ ids, act, pathOf, logger: this.logger }, reader);
    const done = outcomes.filter(({ status }) => status === 200).length;
    const results = outcomes.map(({ view: line, ...outcome }) => ({ ...outcome, ...(line && { line }) }));
    return { results, done, refused: results.length - done };
  }

  private async book(id: string, wanted: Wanted): Promise<DueLineView> {
    const transactions = await this.transactions.ofVehicleWith(DueLine, id);
    return transactions.write((tx) => this.put(tx, id, wanted), 200);
  }

  private async put(tx: EntityManager, id: string, { day, depotId }: Wanted): Promise<DueLineView> {
    const { fleetId, timeZone } = fleetScope();
    const now = this.clock.now();
    const today = civilDateAt(now.getTime(), timeZone);
    assertNear(day, today);
    const { vehicleId } = await rowOf(tx, DueLine, id, 'due line');
    // All writers lock in this order: first vehicles, then depots.
    const vehicle = await lockedRowOf(tx, Vehicle, vehicleId, 'vehicle');
    const depot = await depotOf(tx, vehicle, depotId ?? null);
    const lines = await linesToBook(tx, fleetId, { vehicleId, id: id.toLowerCase(), day });
    const line = lines.find((one) => one.id === id.toLowerCase());
    if (!line) throw new Error(`the due line ${id} is not among those of its vehicle`);
    const shown = async () => dueLineView(await dueLineRow(tx, fleetId, id), now, timeZone);
    if (line.visitOn === day) return shown();
    assertCanBeBooked(line);
    const fault = dayFault(depot, [line], day, today);
    if (fault !== null) throw unacceptable([{ pointer: '/day', detail: fault }]);
    const others = lines.filter(({ visitId }) => visitId !== null && visitId === lines[0]?.visitId);
    await this.join(tx, { line, others: others.filter((one) => one !== line), vehicle, depot, day });
    return shown();
  }

  /** Adds a line to the visit of the others, or makes one for it. */
  private async join(
    tx: EntityManager,
    {
      line,
      others,
      vehicle,
      depot,
      day,
    }: { line: LineToBook; others: LineToBook[]; vehicle: Vehicle; depot: Depot; day: string },
  ): Promise<void> {
    const { fleetId } = fleetScope();
    const visitId = others[0]?.visitId ?? uuidv7();
    const assignedTo = others[0]?.visitAssignee ?? null;
    const hours = hoursOf([...others, line]);
    const taken = await hoursOfOthers(tx, fleetId, { depotId: depot.id, day, visitId });
    const limit = labourHoursOf(depot);
    if (taken + hours > limit + HOURS_ROUNDING) {
      const detail = planMessage('visit-day-full', { day, depot: depot.name, taken, limit, hours });
      throw unacceptable([{ pointer: '/day', detail }]);
    }
    await bookLine(tx, fleetId, this.clock.now(), {
      ...{ visitId, vehicleId: vehicle.id, depotId: depot.id, day, hours, assignedTo },
      ...{ dueLineId: line.id, lineHours: hoursOf([line]) },
    });
    if (assignedTo !== null) await this.conclusions.hearersChanged(tx, [vehicle.id]);
  }
}

const hoursOf = (lines: readonly LineToBook[]): number =>
  visitHours(lines.map((line) => ({ labour: labourOf(line, line.labour) })));

/** @throws Problem 422 when the day is too far ahead */
function assertNear(day: string, today: string): void {
  const latest = addMonths(today, MOST_MONTHS);
  if (day <= latest) return;
  const detail = message('booking-too-far', { day, months: MOST_MONTHS, latest });
  throw unacceptable([{ pointer: '/day', detail }]);
}

/** @throws Problem 409 when there is nothing of the line to book */
function assertCanBeBooked({ isOpen, noBaseline, dueOn, visitOn }: LineToBook): void {
  if (!isOpen) throw conflict('not-open', message('booking-not-open'));
  if (noBaseline || dueOn === 'infinity') throw conflict('no-due-date', message('booking-no-due-date'));
  if (visitOn !== null) throw conflict('already-booked', message('booking-other-visit', { on: visitOn }));
}

/**
 * The depot of a vehicle, locked so that nobody else uses the same hours.
 *
 * @throws Problem 409 when it has none, 422 when another was asked for
 */
async function depotOf(tx: EntityManager, vehicle: Vehicle, wanted: string | null): Promise<Depot> {
  if (vehicle.depotId === null) throw conflict('no-depot', message('booking-no-depot'));
  const refused = (detail: Message): Problem => unacceptable([{ pointer: '/depotId', detail }]);
  const depot = await lockedRowOf(tx, Depot, vehicle.depotId, 'depot');
  if (wanted !== null && wanted.toLowerCase() !== depot.id)
    throw refused(message('booking-other-depot', { depot: depot.name }));
  return depot;
}
