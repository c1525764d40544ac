/** Types for the parts of the load generator used here; it has none of its own. */
declare module 'autocannon' {
  import type { EventEmitter } from 'node:events';

  export interface Request {
    method?: string;
    path?: string;
    headers?: Record<string, string>;
    body?: string;
  }

  export interface Options {
    url: string;
    connections: number;
    /** Seconds. */
    duration?: number;
    /** Total number of requests, instead of a duration. */
    amount?: number;
    requests: (Request & { setupRequest?: (request: Request) => Request })[];
  }

  export interface Result {
    errors: number;
    timeouts: number;
    /** Seconds. */
    duration: number;
  }

  export type Instance = EventEmitter & PromiseLike<Result>;

  export default function autocannon(options: Options): Instance;
}
