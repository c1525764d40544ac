import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { relistCodes } from '../../conclusions/store/listed-faults.js';
import { CLOCK_TOLERANCE_MS } from '../../domain/calendar/device-clock.js';
import { faultCodeText } from '../../domain/faults/fault-code.js';
import type { FaultSighting } from '../../domain/faults/fault-sighting.js';
import { meaningOf } from '../../domain/faults/meanings.js';
import { type NewSpan, takeSightings } from '../../domain/faults/take-sightings.js';
import type { FaultReporter } from '../../entities/fault.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { type AddedSpan, saveSpans, type SpanOfVehicle, spansBeside } from './faults.queries.js';

/** What was seen of one vehicle. */
export interface SightingsOfVehicle {
  vehicleId: string;
  sightings: readonly FaultSighting[];
}

/** What became of sightings. */
export interface TakenFaults {
  /** Rows that are new, and rows that became longer. All other sightings were known already. */
  added: number;
  lengthened: number;
  /** Left out: they lie ahead of the clock here. */
  ahead: number;
  /** Vehicles that there are not, or that the token may not see. */
  unknownVehicles: string[];
}

/** Takes what vehicles report of their faults, from people and from sources. */
@Injectable()
export class FaultsService {
  constructor(
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * Stores sightings of any number of vehicles in the caller's transaction, and concludes from
   * them. The number of statements does not grow with the number of vehicles. Sightings that are
   * known already change nothing, so a source may send the same fault every hour.
   */
  async take(
    tx: EntityManager,
    seen: readonly SightingsOfVehicle[],
    reportedBy: FaultReporter = 'source',
  ): Promise<TakenFaults> {
    const latest = this.clock.now().getTime() + CLOCK_TOLERANCE_MS;
    const { believed, ahead } = ofEachVehicle(seen, latest);
    const { fleetId, tokenId } = fleetScope();
    const ids = [...believed.keys()];
    const locked = new Set((await lockVehicles(tx, fleetId, ids, [])).map(({ id }) => id));
    const unknownVehicles = ids.filter((id) => !locked.has(id));
    for (const id of unknownVehicles) believed.delete(id);
    const result = { ahead, unknownVehicles };
    if (believed.size === 0) return { ...result, added: 0, lengthened: 0 };

    const stored = await spansBeside(tx, fleetId, reportedBy, stretchesOf(believed));
    const { added, lengthened } = takeEach(believed, stored);
    await saveSpans(tx, fleetId, { tokenId, reportedBy }, added, lengthened);
    await relistCodes(tx, fleetId, codesOf([...added, ...lengthened]));
    // A code that means nothing here changes no conclusion.
    await this.conclude(tx, added.filter(isKnown), lengthened.filter(isKnown), stored);
    return { ...result, added: added.length, lengthened: lengthened.length };
  }

  /** Draws the conclusions anew about the vehicles of which something changed. */
  private async conclude(
    tx: EntityManager,
    added: readonly AddedSpan[],
    lengthened: readonly SpanOfVehicle[],
    stored: readonly SpanOfVehicle[],
  ): Promise<void> {
    const before = new Map(stored.map(({ id, firstAt }) => [id, firstAt]));
    // A span that begins earlier lies elsewhere on the vehicle's usage.
    const earlier = lengthened.filter(({ id, firstAt }) => firstAt !== before.get(id));
    const from = new Map<string, number | null>(lengthened.map(({ vehicleId }) => [vehicleId, null]));
    for (const { vehicleId, firstAt } of [...added, ...earlier])
      from.set(vehicleId, Math.min(firstAt, from.get(vehicleId) ?? Infinity));
    await this.conclusions.refresh(
      tx,
      [...from].map(([vehicleId, at]) => ({ vehicleId, usageFrom: at === null ? null : new Date(at) })),
    );
  }
}

const isKnown = ({ code }: NewSpan): boolean => meaningOf(code) !== null;

/** The codes that some spans are of, each once for each vehicle. */
function codesOf(spans: readonly AddedSpan[]): { vehicleId: string; code: string }[] {
  const codes = spans.map(({ vehicleId, code }) => ({ vehicleId, code: faultCodeText(code) }));
  return [...new Map(codes.map((one) => [`${one.vehicleId} ${one.code}`, one])).values()];
}

/** The sightings of each vehicle that do not lie ahead of the clock, and how many do. */
function ofEachVehicle(
  seen: readonly SightingsOfVehicle[],
  latest: number,
): { believed: Map<string, FaultSighting[]>; ahead: number } {
  const believed = new Map<string, FaultSighting[]>();
  let ahead = 0;
  for (const { vehicleId, sightings } of seen) {
    const past = sightings.filter(({ at }) => at <= latest);
    ahead += sightings.length - past.length;
    if (past.length > 0) believed.set(vehicleId, [...(believed.get(vehicleId) ?? []), ...past]);
  }
  return { believed, ahead };
}

/** From when to when each code of each vehicle was seen. */
function stretchesOf(seen: ReadonlyMap<string, readonly FaultSighting[]>) {
  const stretches = new Map<string, { vehicleId: string; code: string; firstAt: number; lastAt: number }>();
  for (const [vehicleId, sightings] of seen) {
    for (const { at, code: seenCode } of sightings) {
      const code = faultCodeText(seenCode);
      const key = `${vehicleId} ${code}`;
      const { firstAt, lastAt } = stretches.get(key) ?? { firstAt: at, lastAt: at };
      const extent = { firstAt: Math.min(firstAt, at), lastAt: Math.max(lastAt, at) };
      stretches.set(key, { vehicleId, code, ...extent });
    }
  }
  return [...stretches.values()];
}

function takeEach(
  seen: ReadonlyMap<string, readonly FaultSighting[]>,
  stored: readonly SpanOfVehicle[],
): { added: AddedSpan[]; lengthened: SpanOfVehicle[] } {
  const ofVehicle = new Map<string, SpanOfVehicle[]>();
  for (const span of stored) ofVehicle.set(span.vehicleId, [...(ofVehicle.get(span.vehicleId) ?? []), span]);
  const byId = new Map(stored.map((span) => [span.id, span]));
  const added: AddedSpan[] = [];
  const lengthened: SpanOfVehicle[] = [];
  for (const [vehicleId, sightings] of seen) {
    const taken = takeSightings(ofVehicle.get(vehicleId) ?? [], sightings);
    for (const span of taken.added) added.push({ ...span, id: uuidv7(), vehicleId });
    for (const span of taken.lengthened) {
      const { reportedBy } = byId.get(span.id) as SpanOfVehicle;
      lengthened.push({ ...span, vehicleId, reportedBy });
    }
  }
  return { added, lengthened };
}
