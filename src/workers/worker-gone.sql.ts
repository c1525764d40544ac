/** A worker without a heartbeat for this long is taken to be gone. */
export const GONE_AFTER = "interval '10 seconds'";

/** True where a worker is named, and it is gone. @param worker SQL expression of its id */
export function isWorkerGone(worker: string): string {
  return `(${worker} is not null and not exists (select from workers w where w.id = ${worker} and w.seen_at > now() - ${GONE_AFTER}))`;
}
