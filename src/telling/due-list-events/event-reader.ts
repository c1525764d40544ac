import type { ServerResponse } from 'node:http';
import type { UnitReader } from '../../platform/words/render.js';
import type { DueLineView } from '../../conclusions/due-list/due-line-view.js';
import type { LossAlertView } from '../../conclusions/loss-alerts/loss-alert.dto.js';
import type { DueListEventsQuery } from './due-list-events.dto.js';
import { type EventPosition, writeId } from './event-position.js';
import type { Role } from '../../platform/scope/roles.js';
import type { ToldRow } from './due-list-events.queries.js';

/** The subject of an event, in its current state. */
export type Subject =
  { kind: 'due-line'; line: DueLineView; isOpen: boolean } | { kind: 'loss-alert'; alert: LossAlertView };

/** Compares two positions. @returns a negative number when `a` comes first */
export const comparePositions = (a: EventPosition, b: EventPosition): number =>
  a.xid - b.xid || a.seq - b.seq || a.n - b.n;

/** Who reads a stream, as it was when the stream was opened. */
export interface StreamHolder {
  /** Null for a sign-in through an identity provider. */
  tokenId: string | null;
  /** The session, if the stream was opened with a cookie. */
  sessionId: string | null;
  role: Role | null;
  /** The depots whose vehicles are seen; null means all. */
  depotIds: readonly string[] | null;
}

/** What has to stay valid for the stream to go on: the session, else the token. */
export const credentialOf = ({ sessionId, tokenId }: StreamHolder): string | null => sessionId ?? tokenId;

/** One client that reads a fleet's events, and how far it has come. */
export class EventReader {
  /**
   * Since when the client has not read although much is buffered for it, on the process's monotonic
   * clock in milliseconds; null while it reads.
   */
  private stuckSince: number | null = null;

  constructor(
    private readonly raw: ServerResponse,
    readonly holder: StreamHolder,
    readonly readsIn: UnitReader,
    private readonly filters: DueListEventsQuery,
    public position: EventPosition,
  ) {}

  /** Whether the stream is that of a token, of a session, or of a person's sessions. */
  isOf(id: string): boolean {
    return this.holder.tokenId === id || this.holder.sessionId === id;
  }

  /**
   * Whether so much is buffered that the client is sent no more. Call it repeatedly: it also keeps
   * track of how long that has lasted.
   */
  isStuck(mostBufferedBytes: number): boolean {
    if (this.raw.writableLength <= mostBufferedBytes) this.stuckSince = null;
    else this.stuckSince ??= performance.now();
    return this.stuckSince !== null;
  }

  stuckForMs(mostBufferedBytes: number): number {
    return this.isStuck(mostBufferedBytes) ? performance.now() - (this.stuckSince ?? 0) : 0;
  }

  /**
   * Whether the client asked for this event. A line that has left a depot is also sent to those who
   * watch that depot, so they can remove it.
   */
  wants({ leftDepotId }: ToldRow, subject: Subject): boolean {
    const { depotId, component, action, vehicleId } = this.filters;
    if (subject.kind === 'due-line') {
      const { line } = subject;
      return (
        this.maySee(line.vehicle.depotId) &&
        (depotId === undefined || line.vehicle.depotId === depotId || leftDepotId === depotId) &&
        (component === undefined || line.component === component) &&
        (action === undefined || line.action === action) &&
        (vehicleId === undefined || line.vehicle.id === vehicleId)
      );
    }
    // An alert about a part batch has no vehicle. It passes a depot filter, but a token that is
    // bound to depots does not see it.
    const { vehicle, members } = subject.alert;
    return (
      (this.holder.depotIds === null || (vehicle !== null && this.maySee(vehicle.depotId))) &&
      (depotId === undefined || vehicle === null || vehicle.depotId === depotId) &&
      (vehicleId === undefined || vehicle?.id === vehicleId || members.includes(vehicleId))
    );
  }

  /**
   * Whether a line has moved to a depot that the token may not see. The client then learns only
   * that the line is gone, not what has become of it.
   */
  loses({ leftDepotId }: ToldRow, subject: Subject): boolean {
    return (
      subject.kind === 'due-line' &&
      this.holder.depotIds !== null &&
      leftDepotId !== null &&
      this.maySee(leftDepotId) &&
      !this.maySee(subject.line.vehicle.depotId)
    );
  }

  private maySee(depotId: string | null): boolean {
    return this.holder.depotIds === null || (depotId !== null && this.holder.depotIds.includes(depotId));
  }

  /** Tells the client how far it has come, without an event. */
  mark(at: number): void {
    this.write(`: still here\nid: ${writeId({ ...this.position, at })}\n\n`);
  }

  tell(event: 'day' | 'reset', data: object, at: number): void {
    this.write(eventText(event, JSON.stringify(data), { ...this.position, at }));
  }

  write(text: string): void {
    if (text !== '' && !this.raw.writableEnded && !this.raw.destroyed) this.raw.write(text);
  }

  /**
   * Ends the stream; the client reconnects by itself. A connection that does not close in time is
   * cut off.
   */
  end(): void {
    this.raw.end();
    setTimeout(() => this.raw.destroy(), 2000).unref();
  }

  drop(): void {
    this.raw.destroy();
  }
}

/** Formats an event for the wire (HTML Standard, server-sent events). */
export function eventText(event: string, json: string, id: EventPosition & { at: number }): string {
  return `event: ${event}\nid: ${writeId(id)}\ndata: ${json}\n\n`;
}
