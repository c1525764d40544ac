import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import type { INestApplication } from '@nestjs/common';
import { DocumentBuilder, type OpenAPIObject, SwaggerModule } from '@nestjs/swagger';
import { API_VERSION } from './platform/http/api-version.js';
import { completeDocument } from './platform/http/api-document.js';
import { showWorkedAnswers } from './facts/calculators/worked-answers.js';
import { ReadingEnvelope } from './facts/readings/reading.dto.js';
import { ProblemExplanation } from './pages/problems/problem-explanation.dto.js';
import { READING_INPUTS } from './facts/readings/posted-kinds.js';

const DESCRIPTION = `Weephole keeps the cooling systems and accessory-belt drives of a vehicle fleet alive: what is due, what to bring, whether the job was right, and which vehicle is losing coolant.

A quantity is an amount with its unit, \`{ "value": 61250, "unit": "mi" }\`; any unit of the right dimension is taken. Answers are in the fleet's units, or those asked for by \`?units=us\` or \`?units=si\`. Instants are RFC 3339 with an offset; dates are days in the fleet's time zone.

Errors are problem details (RFC 9457): 400 if the request cannot be read, 422 if its content cannot be accepted, each fault with a pointer to its field. A message has a stable \`code\` with its \`values\`, and a text in the language of the answer. The \`type\` of a problem is the address of its explanation.

Every answer that judges says why and on what basis. Nothing here replaces the vehicle maker's service information, local rules, or qualified people.`;

const TAGS: Record<string, string> = {
  fleet: 'The fleet that a token belongs to, and its defaults',
  people: 'Who works for the fleet, and who a request is from',
  tokens: 'Who may call the service, and in which role',
  depots: 'Places where vehicles are kept and worked at',
  'spec sheets': "What a powertrain's cooling system and belt drive need",
  'interval plans': 'How often what is to be done',
  'starter sets': 'Ready-made spec sheets and interval plans to begin with',
  spreadsheets: 'Spreadsheets as they come: a proposed mapping, what is doubtful, and taking the rows',
  imports: 'Imported spreadsheets, and how to undo an import',
  'interval advice': "Which intervals the fleet's own failures suggest",
  vehicles: 'The vehicles and their history',
  labels: 'Labels on vehicles, by which anybody beside one can report what is wrong',
  usage: 'Odometers and engine hours, and the daily rate',
  'due list': 'What is due, when, and by which limit',
  visits: 'Which vehicles come in when, and for which due lines',
  'job reports': 'Work as it was done',
  readings: 'Measurements, at a job or outside one',
  faults: 'Fault codes that vehicles reported, what they mean and what they opened',
  defects: 'What people reported as wrong, what was decided, and what repaired it',
  telematics: 'Sources by which machines report by themselves',
  'coolant temperatures': 'What sensors read, kept as daily figures, and days that overheated',
  'loss alerts': 'Vehicles that lose coolant, and parts that come back early',
  reminders: 'Notices that something came due, and where they go',
  audit: 'Who changed what, when',
  calculators: 'Single computations; nothing is stored',
  problems: 'What each kind of problem means',
  entrance: 'Where everything is',
  health: 'Whether the service is alive and ready, and its metrics',
};

/**
 * Builds the API document from the decorators of each operation, and adds what applies to all of
 * them.
 */
export function buildDocument(app: INestApplication): OpenAPIObject {
  const builder = new DocumentBuilder()
    .setOpenAPIVersion('3.1.0')
    .setTitle('Weephole')
    .setDescription(DESCRIPTION)
    .setVersion(API_VERSION)
    .addServer('/', 'The service that sent this document')
    .addBearerAuth({
      type: 'http',
      scheme: 'bearer',
      bearerFormat: 'wh_…',
      description: 'A token of the fleet',
    })
    .addApiKey(
      {
        type: 'apiKey',
        in: 'query',
        name: 'token',
        description: 'A calendar token; only in the address of the calendar feed',
      },
      'calendarToken',
    )
    .addApiKey(
      {
        type: 'apiKey',
        in: 'cookie',
        name: '__Host-weephole',
        description:
          'The session that POST /v1/sessions opened, in a browser. Requests that change something need the header Weephole-Page: 1 beside it. Without https the cookie is called weephole',
      },
      'session',
    );
  const document = SwaggerModule.createDocument(app, builder.build(), {
    // Added explicitly: they occur only in unions, which the library does not search for classes.
    extraModels: [ReadingEnvelope, ...READING_INPUTS, ProblemExplanation],
    operationIdFactory: (controller, method) =>
      `${lowerFirst(controller.replace(/Controller$/, ''))}_${method}`,
  });
  showWorkedAnswers(document);
  document.info.license = { name: 'Apache License 2.0', identifier: 'Apache-2.0' } as never;
  return completeDocument(document, TAGS);
}

/** Files of the docs page, from the package `swagger-ui-dist`. */
const DOCS_ASSETS = {
  'swagger-ui.css': 'text/css; charset=utf-8',
  'swagger-ui-bundle.js': 'text/javascript; charset=utf-8',
};

const DOCS_SCRIPT = `SwaggerUIBundle({ url: '/openapi.json', dom_id: '#api', persistAuthorization: false });`;

/**
 * Content Security Policy of the docs page: only its own scripts, but also inline styles and data
 * images.
 */
const DOCS_POLICY = [
  "default-src 'none'",
  `script-src 'self' 'sha256-${createHash('sha256').update(DOCS_SCRIPT).digest('base64')}'`,
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "frame-ancestors 'none'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');

const DOCS_PAGE = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Weephole API</title>
<link rel="stylesheet" href="/docs/swagger-ui.css">
<div id="api"></div>
<script src="/docs/swagger-ui-bundle.js"></script>
<script>${DOCS_SCRIPT}</script>
</html>
`;

/**
 * Serves the document as `GET /openapi.json`, and a page that shows it as `GET /docs`. Reads the
 * page's two files from their package, because the test runner cannot load the module that Nest
 * would serve them with.
 */
export function serveDocument(app: INestApplication): void {
  let text: string | null = null;
  const fastify = app.getHttpAdapter().getInstance() as FastifyInstance;
  const packageRoot = dirname(createRequire(import.meta.url).resolve('swagger-ui-dist/package.json'));
  fastify.get('/openapi.json', (_request, reply) => {
    text ??= documentText(buildDocument(app));
    void reply.type('application/json; charset=utf-8').header('content-language', 'en').send(text);
  });
  fastify.get('/docs', (_request, reply) => {
    void reply
      .type('text/html; charset=utf-8')
      .header('content-language', 'en')
      .header('content-security-policy', DOCS_POLICY)
      .send(DOCS_PAGE);
  });
  for (const [name, type] of Object.entries(DOCS_ASSETS)) {
    fastify.get(`/docs/${name}`, (_request, reply) => {
      void reply
        .type(type)
        .header('cache-control', 'public, max-age=86400')
        .send(createReadStream(join(packageRoot, name)));
    });
  }
}

/** Returns the document's text in the form that is committed. */
export function documentText(document: OpenAPIObject): string {
  return `${JSON.stringify(document, null, 2)}\n`;
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}
