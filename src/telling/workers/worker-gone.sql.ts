/**
 * True where another worker is named that is gone: its row was deleted, as `WorkerSigns` does.
 *
 * @param worker SQL expression of its id
 * @param own SQL expression of the id of the worker that asks
 */
export function isWorkerGone(worker: string, own: string): string {
  return `(${worker} is not null and ${worker} <> ${own} and not exists (select from workers w where w.id = ${worker}))`;
}
