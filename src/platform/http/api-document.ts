import type { OpenAPIObject } from '@nestjs/swagger';
import { isPublicRoute } from '../routing/public-routes.js';
import { MOST_FAULTS } from '../problems/problem.js';

type Operation = NonNullable<OpenAPIObject['paths'][string]['get']>;
type Parameter = NonNullable<Operation['parameters']>[number];

const METHODS = ['delete', 'get', 'patch', 'post', 'put'] as const;
type Method = (typeof METHODS)[number];

/** A message: its code, its values and its text. */
const TOLD = {
  code: { type: 'string', description: 'Stable; what the detail says' },
  values: {
    type: 'object',
    additionalProperties: true,
    description: 'The values in the detail, as data; quantities in the units of the answer, not rounded',
  },
  detail: { type: 'string', description: 'In plain words, in the language of the answer' },
} as const;

const PROBLEM_SCHEMAS = {
  FieldFault: {
    type: 'object',
    description:
      'One fault and its place: in the body (RFC 6901), the query, a header, or a line and column of a file',
    properties: {
      pointer: { type: 'string' },
      parameter: { type: 'string' },
      header: { type: 'string' },
      line: { type: 'integer', minimum: 1 },
      column: { type: 'string' },
      value: { type: 'string' },
      ...TOLD,
    },
    required: ['detail'],
  },
  Problem: {
    type: 'object',
    description: 'Problem details (RFC 9457)',
    properties: {
      type: {
        type: 'string',
        format: 'uri-reference',
        description: 'Where this kind of problem is explained',
      },
      title: { type: 'string' },
      status: { type: 'integer' },
      ...TOLD,
      instance: { type: 'string' },
      errors: { type: 'array', maxItems: MOST_FAULTS, items: { $ref: '#/components/schemas/FieldFault' } },
      errorsLeftOut: { type: 'integer', minimum: 1, description: 'How many more faults there are' },
      requestId: { type: 'string' },
    },
    required: ['type', 'title', 'status', 'detail', 'instance'],
  },
};

/** The problems that operations answer with, by status. All others are `default`. */
const PROBLEMS: Record<
  string,
  { name: string; description: string; holds: (operation: Described) => boolean }
> = {
  400: {
    name: 'CannotBeRead',
    description: 'The query, the cursor or the body cannot be read',
    holds: ({ isOfApi }) => isOfApi,
  },
  401: {
    name: 'NoValidToken',
    description: 'A valid token is needed',
    holds: ({ isOfApi }) => isOfApi,
  },
  403: {
    name: 'WrongRole',
    description: 'The role of this token may not',
    holds: ({ isOfFleet }) => isOfFleet,
  },
  404: {
    name: 'NotFound',
    description: 'Nothing with this id in this fleet',
    holds: ({ path }) => path.includes('{'),
  },
  409: {
    name: 'Conflict',
    description:
      'It conflicts with what is recorded, or the same request is still in flight (then with Retry-After)',
    holds: ({ isOfFleet, method, keepsNothing }) => isOfFleet && method !== 'get' && !keepsNothing,
  },
  412: {
    name: 'ChangedMeanwhile',
    description: 'It has changed since the version that If-Match names',
    holds: ({ isOfFleet, method }) => isOfFleet && method === 'patch',
  },
  413: { name: 'BodyTooLarge', description: 'The body is too large', holds: ({ takesBody }) => takesBody },
  415: {
    name: 'MediaType',
    description: 'The body has a media type that is not accepted here',
    holds: ({ takesBody }) => takesBody,
  },
  422: {
    name: 'CannotBe',
    description: 'The content cannot be accepted: each fault with a pointer to its field',
    holds: ({ isOfApi, method }) => isOfApi && (method === 'post' || method === 'patch'),
  },
};

const OTHER_PROBLEM = {
  name: 'OtherProblem',
  description: 'Any other problem; 429 and 503 with Retry-After',
};

const PARAMETERS = {
  Units: {
    name: 'units',
    in: 'query',
    description: "The units of the answer; the fleet's unless given",
    schema: { type: 'string', enum: ['us', 'si'] },
  },
  AcceptLanguage: {
    name: 'Accept-Language',
    in: 'header',
    description: "The language of the answer's texts; the token's unless given, else the fleet's",
    schema: { type: 'string' },
    example: 'es',
  },
  IfMatch: {
    name: 'If-Match',
    in: 'header',
    description: 'The ETag of the version to change; any other version is left unchanged',
    schema: { type: 'string' },
  },
  IfNoneMatch: {
    name: 'If-None-Match',
    in: 'header',
    description: 'The ETag of the answer that the client has already',
    schema: { type: 'string' },
  },
  IdempotencyKey: {
    name: 'Idempotency-Key',
    in: 'header',
    description:
      'Of the client’s making. For 24 hours the same request with the same key is done once, and gets the first answer again. After that the request is done again. A client that may wait longer, such as an outbox on a phone, relies on the `id` in the body of a job report, which never expires',
    schema: { type: 'string', minLength: 1, maxLength: 255 },
  },
} as const;

interface Described {
  path: string;
  method: Method;
  operation: Operation;
  /** Whether the caller must have a token or a session. */
  isOfFleet: boolean;
  /** Also true of what lets somebody in. */
  isOfApi: boolean;
  takesBody: boolean;
  /** True for an operation that computes but stores nothing, so repeating it does no harm. */
  keepsNothing: boolean;
}

/**
 * Adds what all operations have in common, and sorts the document so that its order does not depend
 * on the code.
 */
export function completeDocument(
  document: OpenAPIObject,
  tags: Readonly<Record<string, string>>,
): OpenAPIObject {
  const used = new Set<string>();
  for (const [path, item] of Object.entries(document.paths)) {
    for (const method of METHODS) {
      const operation = item[method];
      if (!operation) continue;
      for (const tag of operation.tags ?? []) used.add(tag);
      complete({
        path,
        method,
        operation,
        isOfFleet: !isPublicRoute(method.toUpperCase(), path.replaceAll(/\{(\w+)\}/g, ':$1')),
        isOfApi: path.startsWith('/v1/'),
        takesBody: operation.requestBody !== undefined,
        keepsNothing: path.startsWith('/v1/calculators/'),
      });
    }
  }
  const components = document.components ?? {};
  return {
    ...document,
    tags: [...used].sort().map((name) => ({ name, ...(tags[name] ? { description: tags[name] } : {}) })),
    security: [{ bearer: [] }, { session: [] }],
    paths: sorted(document.paths, (item) => sorted<unknown>({ ...item }) as typeof item),
    components: {
      ...components,
      parameters: PARAMETERS as never,
      responses: problemResponses(),
      schemas: sorted({ ...components.schemas, ...PROBLEM_SCHEMAS }),
    },
  };
}

function complete(described: Described): void {
  const { operation, method, path, isOfFleet, keepsNothing } = described;
  if (!isOfFleet) operation.security = [];
  describeFileBodies(operation);
  const responses = operation.responses as Record<string, object>;
  const isConditional = '304' in responses;
  const added: (keyof typeof PARAMETERS)[] = [];
  if (isOfFleet && answersInUnits(responses)) added.push('Units');
  if (isOfFleet) added.push('AcceptLanguage');
  if (isOfFleet && method === 'patch') added.push('IfMatch');
  if (isConditional) added.push('IfNoneMatch');
  if (isOfFleet && method === 'post' && !keepsNothing) added.push('IdempotencyKey');
  const names = new Set<string>(added.map((key) => PARAMETERS[key].name.toLowerCase()));
  const own = (operation.parameters ?? []).filter(
    (parameter) => !('name' in parameter && names.has(parameter.name.toLowerCase())),
  );
  operation.parameters = [
    ...own,
    ...added.map((key): Parameter => ({ $ref: `#/components/parameters/${key}` })),
  ];
  for (const [status, { name, holds }] of Object.entries(PROBLEMS))
    if (holds(described)) responses[status] ??= { $ref: `#/components/responses/${name}` };
  if (path === '/health/ready') responses['503'] ??= { $ref: '#/components/responses/NotReady' };
  responses.default ??= { $ref: `#/components/responses/${OTHER_PROBLEM.name}` };
}

/** Documents a file that is sent by itself as binary data. In a form it is a field. */
function describeFileBodies({ requestBody }: Operation): void {
  const content = requestBody && 'content' in requestBody ? requestBody.content : {};
  if (!('multipart/form-data' in content)) return;
  for (const type of Object.keys(content))
    if (type !== 'multipart/form-data') content[type] = { schema: { type: 'string', format: 'binary' } };
}

function answersInUnits(responses: Record<string, object>): boolean {
  return Object.entries(responses).some(([status, response]) => {
    const { content } = response as { content?: Record<string, unknown> };
    return (
      status.startsWith('2') &&
      content !== undefined &&
      ('application/json' in content || 'text/csv' in content)
    );
  });
}

function problemResponses(): Record<string, never> {
  const content = { 'application/problem+json': { schema: { $ref: '#/components/schemas/Problem' } } };
  const notReady = {
    name: 'NotReady',
    description: 'A part of the service is not available; the problem names it',
  };
  return Object.fromEntries(
    [...Object.values(PROBLEMS), notReady, OTHER_PROBLEM].map(({ name, description }) => [
      name,
      { description, content } as never,
    ]),
  );
}

function sorted<T>(record: Record<string, T>, inner: (value: T) => T = (value) => value): Record<string, T> {
  return Object.fromEntries(
    Object.entries(record)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, value]) => [key, inner(value)]),
  );
}
