import 'reflect-metadata';
import { writeFile } from 'node:fs/promises';
import { previewApi } from '../bootstrap.api.js';
import { buildDocument, documentText } from '../openapi.js';
import { run } from '../startup.js';

/** Writes the API document that is committed to the repository. Needs no database. */
run(async () => {
  const app = await previewApi();
  await writeFile('openapi.json', documentText(buildDocument(app)));
});
