/**
 * A mechanic's outbox: job reports are kept as files where there is no network, and sent when there
 * is one. It can be killed at any point without losing a report or sending it twice: a file is
 * there whole or not at all, it goes only after the service has answered for its report, and a
 * report that is sent again is known by its id.
 *
 *     node outbox.js put report.json
 *     node outbox.js send
 *
 * WEEPHOLE_URL, WEEPHOLE_TOKEN and OUTBOX (a folder, `outbox` unless given) say where to and from
 * where.
 */
import { randomUUID } from 'node:crypto';
import { mkdir, open, readdir, readFile, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type components, ProblemError, WeepholeClient } from '../src/client.js';

export type JobReport = components['schemas']['JobReportInput'];

/** What the service takes at once: 200 reports and 4 MiB, of which this keeps well clear. */
const AT_ONCE = { reports: 200, bytes: 3_000_000 };

/**
 * What one report, alone or among others, can be at fault for; anything else is no answer to it.
 */
const REFUSALS = new Set([400, 409, 413, 422]);

interface Waiting {
  name: string;
  report: JobReport;
  bytes: number;
}

export interface Sent {
  /** Ids of reports that the service has. */
  taken: string[];
  /**
   * Ids of reports that it refused: they lie in `refused`, each with its problem, for a person to
   * put right.
   */
  refused: string[];
  /** Files that stay, for they were not answered for or cannot be read. */
  staying: string[];
}

export class Outbox {
  private readonly waiting: string;
  private readonly refused: string;

  constructor(folder: string) {
    this.waiting = join(folder, 'waiting');
    this.refused = join(folder, 'refused');
  }

  /**
   * Keeps a report; when this resolves, it is on the disk. @returns its id, made here unless it has
   * one
   */
  async put(report: JobReport): Promise<string> {
    const id = report.id ?? randomUUID();
    const names = await this.names();
    if (names.some((name) => name.endsWith(`_${id}.json`)))
      throw new Error(`a report ${id} is waiting already`);
    const bytes = Buffer.byteLength(JSON.stringify(report));
    if (bytes > AT_ONCE.bytes) {
      throw new RangeError(`the report has ${bytes} bytes; ${AT_ONCE.bytes} can be sent`);
    }
    // Sent in the order of their making, so that a report comes after the one it supersedes.
    const name = `${new Date().toISOString().replaceAll(':', '-')}_${id}.json`;
    await keep(this.waiting, name, { ...report, id });
    return id;
  }

  /**
   * Sends what waits. @throws NoAnswerError, ProblemError when nobody answers for a batch: it and
   * what comes after stay
   */
  async send(client: WeepholeClient): Promise<Sent> {
    const sent: Sent = { taken: [], refused: [], staying: [] };
    const waiting: Waiting[] = [];
    for (const name of await this.names()) {
      const one = await this.read(name);
      if (one === null) sent.staying.push(name);
      else waiting.push(one);
    }
    for (const batch of batchesOf(waiting)) await this.sendBatch(client, batch, sent);
    return sent;
  }

  /** Null for what is no report: only this program's files are, and they are whole. */
  private async read(name: string): Promise<Waiting | null> {
    try {
      const report = JSON.parse(await readFile(join(this.waiting, name), 'utf8')) as JobReport;
      const bytes = Buffer.byteLength(JSON.stringify(report));
      return typeof report.id === 'string' && bytes <= AT_ONCE.bytes ? { name, report, bytes } : null;
    } catch {
      return null;
    }
  }

  private async sendBatch(client: WeepholeClient, batch: Waiting[], sent: Sent): Promise<void> {
    const sentAt = new Date().toISOString();
    const reports = batch.map(({ report }) => ({ ...report, sentAt }));
    let results: components['schemas']['JobReportBatchItem'][];
    try {
      ({ results } = (await client.post('/v1/job-reports/batch', { body: { reports } })).data);
    } catch (fault) {
      if (!(fault instanceof ProblemError) || !REFUSALS.has(fault.status)) throw fault;
      const [only] = batch;
      if (batch.length === 1 && only) return this.setAside(only, fault.problem, sent);
      // Too large, or one of them spoils the rest: halves tell which.
      const middle = Math.ceil(batch.length / 2);
      await this.sendBatch(client, batch.slice(0, middle), sent);
      return this.sendBatch(client, batch.slice(middle), sent);
    }
    const byIndex = new Map(results.map((result) => [result.index, result]));
    for (const [index, one] of batch.entries()) {
      const { status, problem } = byIndex.get(index) ?? {};
      if (status === 200 || status === 201) await this.remove(one, sent);
      else if (status === 409 || status === 422) await this.setAside(one, problem, sent);
      else sent.staying.push(one.name);
    }
  }

  private async remove({ name, report }: Waiting, sent: Sent): Promise<void> {
    await rm(join(this.waiting, name), { force: true });
    sent.taken.push(report.id ?? name);
  }

  /**
   * Kept beside first and removed then: killed in between, it is sent once more and refused once
   * more.
   */
  private async setAside({ name, report }: Waiting, problem: unknown, sent: Sent): Promise<void> {
    await keep(this.refused, name, { problem, report });
    await rm(join(this.waiting, name), { force: true });
    sent.refused.push(report.id ?? name);
  }

  private async names(): Promise<string[]> {
    await mkdir(this.waiting, { recursive: true });
    return (await readdir(this.waiting)).filter((name) => name.endsWith('.json')).toSorted();
  }
}

function batchesOf(waiting: readonly Waiting[]): Waiting[][] {
  const batches: Waiting[][] = [];
  let bytes = Infinity;
  for (const one of waiting) {
    const batch = batches.at(-1);
    if (batch && batch.length < AT_ONCE.reports && bytes + one.bytes <= AT_ONCE.bytes) {
      batch.push(one);
      bytes += one.bytes;
    } else {
      batches.push([one]);
      bytes = one.bytes;
    }
  }
  return batches;
}

/** Writes a file whole or not at all: under another name, to the disk, and then by its own. */
async function keep(folder: string, name: string, content: unknown): Promise<void> {
  await mkdir(folder, { recursive: true });
  const unfinished = join(folder, `${name}.${randomUUID()}.unfinished`);
  const file = await open(unfinished, 'wx');
  try {
    await file.writeFile(JSON.stringify(content, null, 2));
    await file.sync();
  } finally {
    await file.close();
  }
  await rename(unfinished, join(folder, name));
  // The name is on the disk only when the folder is.
  const directory = await open(folder, 'r');
  try {
    await directory.sync();
  } finally {
    await directory.close();
  }
}

async function main([command, path]: string[]): Promise<void> {
  const { WEEPHOLE_URL = 'http://127.0.0.1:8470', WEEPHOLE_TOKEN = '', OUTBOX = 'outbox' } = process.env;
  const outbox = new Outbox(OUTBOX);
  if (command === 'put' && path !== undefined) {
    console.log(await outbox.put(JSON.parse(await readFile(path, 'utf8')) as JobReport));
  } else if (command === 'send') {
    const client = new WeepholeClient({ baseUrl: WEEPHOLE_URL, token: WEEPHOLE_TOKEN });
    console.log(JSON.stringify(await outbox.send(client)));
  } else {
    console.error('put <report.json>, or send');
    process.exitCode = 2;
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  await main(process.argv.slice(2)).catch((fault: unknown) => {
    console.error(String(fault));
    process.exitCode = 1;
  });
}
