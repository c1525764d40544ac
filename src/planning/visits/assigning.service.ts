import { Injectable, Logger } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { Person } from '../../entities/person.entity.js';
import { Visit } from '../../entities/visit.entity.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { eachOfIds } from '../../platform/http/each-of-ids.js';
import { conflict, noSuch, type Problem, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { Message } from '../../domain/message.js';
import type { Reader } from '../../platform/words/render.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { assignVisit } from './assigning.queries.js';
import { message } from './messages.js';
import type { AssignInput, AssignManyInput, ManyVisitsResult, VisitView } from './visit.dto.js';
import { VisitsService } from './visits.service.js';

/** The roles of people who do the work of a visit. */
const DOES_VISITS: readonly string[] = ['manager', 'mechanic'];

/** Assigns visits, with their lines, to people. */
@Injectable()
export class AssigningService {
  private readonly logger = new Logger('visits');

  constructor(
    private readonly transactions: Transactions,
    private readonly visits: VisitsService,
    private readonly conclusions: ConclusionsService,
  ) {}

  /** Assigns a visit to a person, or to nobody any more. The person's reminder targets hear of it. */
  assign(id: string, { personId }: AssignInput): Promise<VisitView> {
    return this.transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const { vehicleId } = await rowOf(tx, Visit, id, 'visit');
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const visit = await lockedRowOf(tx, Visit, id, 'visit');
      // What is wrong with the person is said also when nothing of the visit is left to do.
      const assignedTo = personId == null ? null : await assignee(tx, personId.toLowerCase(), visit.depotId);
      const before = await this.visits.shown(tx, id);
      assertOpen(before);
      if (assignedTo === visit.assignedTo) return before;
      await assignVisit(tx, fleetId, id, assignedTo);
      await this.conclusions.hearersChanged(tx, [vehicleId]);
      return this.visits.shown(tx, id);
    }, 200);
  }

  /** @param reader of the problems of single visits */
  async assignMany({ ids, personId }: AssignManyInput, reader: Reader): Promise<ManyVisitsResult> {
    const act = (id: string): Promise<VisitView> => this.assign(id, { personId });
    const pathOf = (id: string): string => `/v1/visits/${id}/assign`;
    const outcomes = await eachOfIds({ ids, act, pathOf, logger: this.logger }, reader);
    const done = outcomes.filter(({ status }) => status === 200).length;
    const results = outcomes.map(({ view: visit, ...outcome }) => ({ ...outcome, ...(visit && { visit }) }));
    return { results, done, refused: results.length - done };
  }
}

/** @throws Problem 409 when no work of the visit is left to do */
function assertOpen({ state, cancelReason, lines }: VisitView): void {
  if (state === 'cancelled')
    throw conflict('already-cancelled', message('visit-cancelled-already', { reason: cancelReason ?? '' }));
  const doneOn = lines.flatMap((line) => line.doneOn ?? []).sort();
  if (state === 'done')
    throw conflict('already-done', message('visit-done-already', { on: doneOn.at(-1) ?? '' }));
  if (state === 'lapsed') throw conflict('not-open', message('visit-lapsed-already'));
}

/** @throws Problem 422 when there is no such person, or the person cannot do the visit */
async function assignee(tx: EntityManager, personId: string, depotId: string): Promise<string> {
  const person = await tx.findOne(Person, {
    where: { fleetId: fleetScope().fleetId, id: personId },
    // Whoever leaves at this moment waits, and then loses the visit.
    lock: { mode: 'pessimistic_read' },
  });
  const refused = (detail: Message): Problem => unacceptable([{ pointer: '/personId', detail }]);
  if (person === null) throw refused(noSuch('person'));
  const { id, name, role, leftAt, depotIds } = person;
  if (leftAt !== null) throw refused(message('visit-assignee-left', { name }));
  if (!DOES_VISITS.includes(role)) throw refused(message('visit-assignee-role', { name, role }));
  if (depotIds !== null && !depotIds.includes(depotId))
    throw refused(message('visit-assignee-elsewhere', { name }));
  return id;
}
