/** Settings of the event streams. Read at the moment of use, so tests can shorten the waits. */
export class StreamSettings {
  /** Proxies commonly close a connection that has been silent for 60 seconds. */
  heartbeatMs = 15_000;
  /** How often to check for heartbeats, midnights and clients that do not read. */
  lookEveryMs = 1000;
  /**
   * How often to read the table without a notice: while the listener is connected, and while it is
   * not.
   */
  pollMs = 30_000;
  pollUnheardMs = 1000;
  /** A client with more unread bytes than this is sent no more, and is dropped if that lasts. */
  mostBufferedBytes = 256 * 1024;
  dropAfterMs = 15_000;
  mostStreams = 1000;
  mostStreamsOfFleet = 200;
  mostStreamsOfToken = 10;
  /** A client that was away for longer has to reload the list. */
  keptForSeconds = 6 * 3600;
}
