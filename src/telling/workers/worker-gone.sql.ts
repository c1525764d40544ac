/**
 * SQL that is true when the expression names another worker that is gone. `WorkerSigns` deletes the
 * rows of such workers.
 *
 * @param worker SQL expression of the worker's id
 * @param own SQL expression of the asking worker's id
 */
export function isWorkerGone(worker: string, own: string): string {
  return `(${worker} is not null and ${worker} <> ${own} and not exists (select from workers w where w.id = ${worker}))`;
}
