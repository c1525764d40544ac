import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { pipelined } from '../../platform/database/pipelined.js';
import { unacceptable } from '../../platform/problems/problem.js';
import { circuitsOf } from './circuits-of-vehicle.js';
import { inCircuits, judgeReadings } from './judge-readings.js';
import type { Occasion, Recorded } from './occasion.js';
import {
  completionsOf,
  findingsOf,
  heldUsage,
  judgementOf,
  outcomeOf,
  addToHistory,
} from './occasion-facts.js';
import { contextOf } from './reading-context.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import { insertCompletions, insertFacts, type Surroundings } from './recording.queries.js';
import { factRows } from './fact-rows.js';

/**
 * Records what was done and measured on one occasion. Judges it, stores it and draws the
 * conclusions in one transaction.
 */
@Injectable()
export class RecordingService {
  constructor(
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * @param surroundings those of the vehicle, which must be locked
   * @throws Problem 422 with every fault, unless the occasion is lenient
   */
  async record(tx: EntityManager, occasion: Occasion, surroundings: Surroundings): Promise<Recorded> {
    const { fleetId, tokenId } = fleetScope();
    const loaded = await this.conclusions.load(tx, [
      { vehicleId: occasion.vehicleId, usageFrom: occasion.at },
    ]);
    const [history] = loaded.histories;
    if (!history) throw new Error(`the locked vehicle ${occasion.vehicleId} is gone`);
    const limitsIn = oncePerCircuit((circuit) => contextOf(occasion, surroundings, history, circuit));
    const placed = inCircuits(occasion.readings.good, circuitsOf(surroundings));
    const judged = judgeReadings(placed.good, limitsIn);
    const faults = [...occasion.readings.faults, ...placed.faults, ...judged.faults];
    if (faults.length > 0 && !occasion.isLenient) throw unacceptable(faults);
    const readings = judged.good.map((reading) => ({ ...reading, id: uuidv7() }));

    const { usage, possibleDuplicateOfId } = addToHistory(history, occasion, readings, limitsIn);
    const [conclusion] = await this.conclusions.derive(tx, loaded);
    if (!conclusion) throw new Error(`nothing was concluded of the vehicle ${occasion.vehicleId}`);

    const held = [
      ...occasion.held,
      ...occasion.readings.held,
      ...placed.held,
      ...judged.held,
      ...heldUsage(usage, conclusion),
    ];
    const outcome = outcomeOf(occasion, readings, conclusion, held);
    const receivedAt = this.clock.now();
    const recorded: Recorded = {
      ...{ readings, outcome, possibleDuplicateOfId, receivedAt },
      isReleasedWithFindings: occasion.job !== null && findingsOf(occasion.job, readings).length > 0,
      depotId: conclusion.history.depotId,
      openFindings: new Set(conclusion.lines.flatMap(({ releasedWith }) => releasedWith ?? [])),
      usage: usage && judgementOf(usage, conclusion),
    };
    const rows = factRows(occasion, { usage, conclusion, limitsIn, recorded });
    await pipelined([
      () => insertFacts(tx, fleetId, tokenId, rows),
      () =>
        insertCompletions(
          tx,
          fleetId,
          occasion.job?.id ?? '',
          civilDateAt(occasion.at.getTime(), fleetScope().timeZone),
          occasion.job ? completionsOf(history, outcome.resets) : [],
        ),
      () => this.conclusions.store(tx, [conclusion]),
    ]);
    return recorded;
  }
}

/**
 * Each circuit's context, made when it is first needed: before the occasion's facts join the
 * history.
 */
function oncePerCircuit(
  make: (circuit: CircuitName | null) => ReadingContext,
): (circuit: CircuitName | null) => ReadingContext {
  const made = new Map<CircuitName | null, ReadingContext>();
  return (circuit) => {
    const known = made.get(circuit) ?? make(circuit);
    made.set(circuit, known);
    return known;
  };
}
