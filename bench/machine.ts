import { cpus, release, totalmem } from 'node:os';

/** Describes the machine, without which the figures mean nothing. */
export function machine(postgres: string): string {
  const [first] = cpus();
  const memory = Math.round(totalmem() / 2 ** 30);
  return [
    `${cpus().length} × ${first?.model.trim() ?? 'unknown processor'}, ${memory} GiB of memory`,
    `${process.platform} ${release()}, Node ${process.version}, PostgreSQL ${postgres}, everything on this one machine`,
  ].join('\n');
}
