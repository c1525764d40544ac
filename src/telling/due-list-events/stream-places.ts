import { Injectable } from '@nestjs/common';
import type { Message } from '../../domain/message.js';
import { Problem } from '../../platform/problems/problem.js';
import { message } from './messages.js';
import { StreamSettings } from './stream-settings.js';

/** The slot of one stream. */
export class StreamPlace {
  private end: (() => void) | null = null;
  private isLost = false;

  constructor(
    readonly fleetId: string,
    /** The token, or the sign-in, that opened the stream. */
    readonly holder: string,
  ) {}

  /**
   * Sets the function that ends the stream when its slot goes to another fleet. Calls it at once if
   * that has already happened.
   */
  whenLost(end: () => void): void {
    this.end = end;
    if (this.isLost) end();
  }

  lose(): void {
    this.isLost = true;
    this.end?.();
  }
}

/**
 * Counts the open streams of this process, by token, by fleet and in all. When the process is full,
 * a fleet with few streams gets a slot from a fleet with more, so no fleet can keep another out.
 */
@Injectable()
export class StreamPlaces {
  private readonly ofFleet = new Map<string, Set<StreamPlace>>();
  private taken = 0;

  constructor(private readonly settings: StreamSettings) {}

  /**
   * @param token id of the token, or subject of the sign-in
   * @throws Problem 429 when the token or the fleet has reached its limit, 503 when the process is
   * full
   */
  take(fleetId: string, token: string): StreamPlace {
    const { mostStreams, mostStreamsOfFleet, mostStreamsOfToken } = this.settings;
    const places = this.ofFleet.get(fleetId) ?? new Set();
    const ofToken = [...places].filter(({ holder }) => holder === token).length;
    if (ofToken >= mostStreamsOfToken) {
      throw tooMany(message('streams-of-token', { open: ofToken, most: mostStreamsOfToken }));
    }
    if (places.size >= mostStreamsOfFleet) {
      throw tooMany(message('streams-of-fleet', { open: places.size, most: mostStreamsOfFleet }));
    }
    if (this.taken >= mostStreams && !this.makeRoomFor(places.size)) throw noneFree();
    const place = new StreamPlace(fleetId, token);
    this.ofFleet.set(fleetId, places.add(place));
    this.taken++;
    return place;
  }

  /** Frees a slot; harmless to repeat. */
  release(place: StreamPlace): void {
    const places = this.ofFleet.get(place.fleetId);
    if (!places?.delete(place)) return;
    this.taken--;
    if (places.size === 0) this.ofFleet.delete(place.fleetId);
  }

  /**
   * Ends the newest stream of the fleet with the most streams, unless the asking fleet would then
   * have more.
   */
  private makeRoomFor(own: number): boolean {
    const [largest = new Set<StreamPlace>()] = [...this.ofFleet.values()].toSorted((a, b) => b.size - a.size);
    const newest = [...largest].at(-1);
    if (!newest || largest.size < own + 2) return false;
    this.release(newest);
    newest.lose();
    return true;
  }
}

/** The problem to return when the process has no slot left, or is about to end. */
export function noneFree(): Problem {
  return new Problem(503, 'no-stream-free', message('stream-none-free'), [], {
    'retry-after': '5',
  });
}

function tooMany(detail: Message): Problem {
  return new Problem(429, 'too-many-streams', detail, [], { 'retry-after': '15' });
}
