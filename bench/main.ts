import { mkdirSync, writeFileSync } from 'node:fs';
import { profileInto } from './child.js';
import { startServer } from './database.js';
import type { Figure } from './figure.js';
import { busyVehicleFigures } from './figures/busy-vehicles.js';
import { dueListFigures } from './figures/due-list.js';
import { firstStartFigures } from './figures/first-start.js';
import { growthFigures } from './figures/growth.js';
import { jobReportFigures } from './figures/job-report.js';
import { memoryFigures } from './figures/memory.js';
import { rebuildFigures } from './figures/rebuild.js';
import { reminderFigures } from './figures/reminders.js';
import { replicaFigures } from './figures/replicas.js';
import { summaryFigures } from './figures/summary.js';
import { sweepFigures } from './figures/sweep.js';
import { toldFigures } from './figures/told.js';
import { usageFigures } from './figures/usage.js';
import { machine } from './machine.js';
import { type Options, readOptions, USAGE } from './options.js';
import { clearStage, setStage, type Stage } from './stage.js';

/** The order matters: groups that change the fleets come after those that only read them. */
const GROUPS: Record<string, (stage: Stage) => Promise<Figure[]>> = {
  'due-list': dueListFigures,
  growth: growthFigures,
  summary: summaryFigures,
  memory: memoryFigures,
  usage: usageFigures,
  'job-report': jobReportFigures,
  'busy-vehicles': busyVehicleFigures,
  sweep: sweepFigures,
  reminders: reminderFigures,
  told: toldFigures,
  replicas: replicaFigures,
  rebuild: rebuildFigures,
  'first-start': firstStartFigures,
};

const say = (what: string): void => void process.stderr.write(`${what}\n`);

function groupsOf({ only }: Options): string[] {
  const known = Object.keys(GROUPS);
  const beginnings = only === null ? [''] : only.split(',');
  for (const beginning of beginnings)
    if (!known.some((name) => name.startsWith(beginning)))
      throw new Error(`--only knows ${known.join(', ')}; not ${beginning}`);
  return known.filter((name) => beginnings.some((beginning) => name.startsWith(beginning)));
}

async function measure(stage: Stage, groups: string[]): Promise<Figure[]> {
  const figures: Figure[] = [];
  for (const name of groups) {
    const began = performance.now();
    const found = (await GROUPS[name]?.(stage)) ?? [];
    figures.push(...found);
    say(table(found));
    say(`${name} measured in ${((performance.now() - began) / 1000).toFixed(0)} s`);
  }
  return figures;
}

function table(figures: Figure[]): string {
  const rows = figures.map(({ figure, value, bound, held, detail }) => [
    held ? 'held' : 'NOT HELD',
    figure,
    String(value),
    bound,
    detail,
  ]);
  const widths = [0, 1, 2, 3].map((column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows
    .map((row) =>
      row
        .map((cell, column) => cell.padEnd(widths[column] ?? 0))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

async function bench(options: Options): Promise<boolean> {
  const groups = groupsOf(options);
  if (options.profile !== null) {
    mkdirSync(options.profile, { recursive: true });
    profileInto(options.profile);
  }
  const server = await startServer(say, options.profile);
  const interrupted = (): void => void server.stop().finally(() => process.exit(130));
  process.once('SIGINT', interrupted).once('SIGTERM', interrupted);
  try {
    const about = machine(server.version);
    say(about);
    const stage = await setStage(server, options, say);
    const figures = await measure(stage, groups);
    await clearStage(stage);
    process.stdout.write(`${about}\n\n${table(figures)}\n`);
    if (options.json !== null) {
      const written = figures.map(({ figure, value, bound, held }) => ({ figure, value, bound, held }));
      writeFileSync(options.json, `${JSON.stringify(written, null, 2)}\n`);
    }
    return figures.every(({ held }) => held);
  } finally {
    await server.stop();
  }
}

try {
  process.exitCode = (await bench(readOptions(process.argv.slice(2)))) ? 0 : 1;
} catch (error) {
  const told = error instanceof Error ? (error.stack ?? error.message) : String(error);
  say(`${told}\n${USAGE}`);
  process.exit(2);
}
process.exit();
