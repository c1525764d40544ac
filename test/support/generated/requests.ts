import { BodyMaker, type Schema } from './body.js';
import { bentFile, csvFile, form } from './files.js';
import { oddText, type Random } from './random.js';
import type { RawRequest } from './raw-http.js';

interface Operation {
  method: string;
  path: string;
  query: string[];
  content: Record<string, { schema: Schema; examples?: unknown; example?: unknown }>;
}

const TYPES = [
  ...[
    'application/json',
    'application/json',
    'application/json; charset=utf-16',
    'application/merge-patch+json',
  ],
  ...[
    'text/plain',
    'text/csv',
    'image/jpeg',
    'application/octet-stream',
    'multipart/form-data; boundary=x',
    '',
    ';',
  ],
  ...[
    'application/json;',
    'application/json; charset="',
    'APPLICATION/JSON',
    'a/b/c',
    'application/x-www-form-urlencoded',
  ],
];
const ODD_HEADERS: [string, string][] = [
  ...['*', '"x"', 'W/"x"', '', ',,,', '"', 'x'.repeat(3000)].map((value): [string, string] => [
    'if-match',
    value,
  ]),
  ...['*', '"x", "y"', ','.repeat(3000)].map((value): [string, string] => ['if-none-match', value]),
  ...['k', '', ' ', 'x'.repeat(300), 'é', '\u0001'].map((value): [string, string] => [
    'idempotency-key',
    value,
  ]),
  ...['bytes=0-', 'bytes=9-1', 'bytes=-', 'bytes=0-99999999999999999999', 'lines=1'].map(
    (value): [string, string] => ['range', value],
  ),
  ...['*/*', 'text/html', 'a', 'text/csv;q=x', ','.repeat(2000)].map((value): [string, string] => [
    'accept',
    value,
  ]),
  ...['1', '-', '9'.repeat(40), '1.2.3', '\u00ff'].map((value): [string, string] => ['last-event-id', value]),
  ...['gzip', 'br', 'x'].map((value): [string, string] => ['content-encoding', value]),
  ...['100-continue', 'x'].map((value): [string, string] => ['expect', value]),
  ...['chunked', 'gzip, chunked', 'identity'].map((value): [string, string] => ['transfer-encoding', value]),
  ...['0', '3', '-1', 'x', '1e3'].map((value): [string, string] => ['content-length', value]),
  ...([
    ['x-forwarded-for', '::1, x'],
    ['forwarded', 'for="'],
    ['cookie', '='],
    ['te', 'trailers'],
  ] as [string, string][]),
  ...([
    ['upgrade', 'websocket'],
    ['x-http-method-override', 'DELETE'],
    ['accept-language', 'x-'],
    ['if-range', '"'],
  ] as [string, string][]),
];
const AUTHORIZATIONS = [
  '',
  'Bearer',
  'Bearer  ',
  'Basic eDp5',
  `Bearer wh_${'a'.repeat(43)}`,
  'Bearer a.b.c',
  'bearer \u00ff',
  'Bearer eyJhbGciOiJub25lIn0.e30.',
];
const ODD_PATHS = [
  '%00',
  '%ff%fe',
  '%',
  '%zz',
  '..',
  '%2e%2e%2f',
  'x'.repeat(250),
  '__proto__',
  "'",
  '%F0%9F%98%80',
  '-1',
];

/**
 * Builds requests to every operation of the API document, from valid bodies, queries and headers
 * with some random changes.
 */
export class RequestMaker {
  private readonly operations: Operation[];
  private readonly bodies: BodyMaker;

  constructor(
    document: { paths: Record<string, Schema>; components: Schema },
    private readonly about: {
      token: string;
      pictures: readonly Buffer[];
      /** Returns the id of a record of the fleet, by the path segment that names its kind. */
      idOf(kind: string, random: Random): string;
    },
  ) {
    const kinds: Record<string, string> = {
      mountedOn: 'vehicles',
      supersedes: 'job-reports',
      workedAtDepotId: 'depots',
    };
    const kindOf = (field: string): string =>
      kinds[field] ??
      `${field.replace(/Ids?$/, '').replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}s`;
    this.bodies = new BodyMaker(document.components.schemas, (field, random) =>
      about.idOf(kindOf(field), random),
    );
    this.operations = Object.entries(document.paths).flatMap(([path, item]) =>
      Object.entries<Schema>(item)
        .filter(([method]) => ['get', 'post', 'patch', 'put', 'delete'].includes(method))
        .map(([method, { parameters = [], requestBody }]) => ({
          ...{ method: method.toUpperCase(), path, content: requestBody?.content ?? {} },
          query: parameters
            .map((each: Schema) => document.components.parameters?.[each.$ref?.split('/').at(-1)] ?? each)
            .filter((each: Schema) => each.in === 'query')
            .map((each: Schema) => each.name),
        })),
    );
  }

  get count(): number {
    return this.operations.length;
  }

  /** Builds a request; the operations take turns. */
  request(index: number, random: Random): RawRequest {
    const operation = this.operations[index % this.operations.length] as Operation;
    const { type, body } = this.body(operation, random);
    const authorization = random.chance(0.96) ? `Bearer ${this.about.token}` : random.of(AUTHORIZATIONS);
    const headers: [string, string][] = [['authorization', authorization]];
    if (type !== null) headers.push(['content-type', random.chance(0.93) ? type : random.of(TYPES)]);
    while (random.chance(0.12)) {
      const [name, value] = random.of(ODD_HEADERS);
      // The service rightly waits for bytes that are announced, so never announce more than are
      // sent.
      if (name !== 'content-length' || !(Number(value) > body.length)) headers.push([name, value]);
    }
    return { method: operation.method, target: this.target(operation, random), headers, body };
  }

  private target({ path, query }: Operation, random: Random): string {
    const filled = path.replace(/([\w-]+)\/\{(\w+)\}/g, (_, kind: string) => {
      const id = random.chance(0.93) ? this.about.idOf(kind, random) : random.of(ODD_PATHS);
      return `${kind}/${id}`;
    });
    const pairs: string[] = [];
    while (random.chance(query.length > 0 ? 0.4 : 0.03)) {
      const name =
        random.chance(0.93) && query.length > 0
          ? random.of(query)
          : random.of(['__proto__', 'x', '%00', 'a[b]', '']);
      const value = random.chance(0.2) ? random.of(ODD_PATHS) : escaped(oddText(random));
      pairs.push(
        `${name}=${random.chance(0.5) ? random.of(['1', '200', '2026-04-02', 'late', 'us', 'water-pump']) : value}`,
      );
    }
    return pairs.length === 0 ? filled : `${filled}?${pairs.join('&')}`;
  }

  private body({ content, method }: Operation, random: Random): { type: string | null; body: Buffer } {
    const types = Object.keys(content);
    if (types.length === 0) {
      const isOdd = method !== 'GET' && random.chance(0.2);
      return isOdd
        ? { type: 'application/json', body: json(oddText(random)) }
        : { type: null, body: Buffer.alloc(0) };
    }
    const type = random.of(types);
    if (type === 'text/csv') return { type, body: csvFile(random) };
    if (!type.includes('json')) {
      const file = bentFile(this.about.pictures, random);
      return type === 'multipart/form-data' ? form(file, random) : { type, body: file };
    }
    const described = content[type]?.schema ?? {};
    const good = this.bodies.good(described, random);
    const sent = json(random.chance(0.25) ? good : this.bodies.bent(good, random, random.of([0.1, 0.4, 1])));
    return { type, body: random.chance(0.04) ? broken(sent, random) : sent };
  }
}

/** Percent-encodes every byte of a text. */
const escaped = (text: string): string => Buffer.from(text).toString('hex').replaceAll(/../g, '%$&');

const json = (value: unknown): Buffer =>
  Buffer.from(JSON.stringify(value ?? null).replaceAll('1e+300', '1e999'), 'utf8');

/** Damages a text so that it is no longer valid JSON or UTF-8. */
function broken(text: Buffer, random: Random): Buffer {
  const at = random.below(text.length + 1);
  return Buffer.concat([
    text.subarray(0, at),
    random.chance(0.5) ? random.bytes(3) : Buffer.alloc(0),
    text.subarray(at + random.below(3)),
  ]);
}
