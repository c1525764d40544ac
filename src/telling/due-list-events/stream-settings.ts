/**
 * How streams are kept. Read when it matters, so that a test need not wait as long as a proxy does.
 */
export class StreamSettings {
  /** Proxies commonly end a connection on which nothing was heard for 60 seconds. */
  heartbeatMs = 15_000;
  /** How often is looked at the time: for heartbeats, midnights and readers that do not read. */
  lookEveryMs = 1000;
  /**
   * How often the table is read although nobody gave notice: with the notices coming in, and
   * without.
   */
  pollMs = 30_000;
  pollUnheardMs = 1000;
  /**
   * Beyond so many bytes a reader has not taken, it is given no more; and is dropped when that
   * lasts.
   */
  mostBufferedBytes = 256 * 1024;
  dropAfterMs = 15_000;
  mostStreams = 1000;
  mostStreamsOfFleet = 200;
  mostStreamsOfToken = 10;
  /** A client that was away for longer loads the list anew. */
  keptForSeconds = 6 * 3600;
}
