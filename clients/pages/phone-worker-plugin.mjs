/** Tells the service worker of the phone page which files to keep, each with its version. */
import { createHash } from 'node:crypto';

const WORKER = 'phone-worker.js';
const PLACE = /\bself\.PHONE_FILES\b/g;

const hashOf = (content) => createHash('sha256').update(content).digest('hex').slice(0, 20);

/** Returns all files that a chunk needs, also those that it loads later. */
function filesOf(bundle, name, found = new Set()) {
  const chunk = bundle[name];
  if (chunk === undefined || found.has(name)) return found;
  found.add(name);
  for (const css of chunk.viteMetadata?.importedCss ?? []) found.add(css);
  for (const next of [...(chunk.imports ?? []), ...(chunk.dynamicImports ?? [])])
    filesOf(bundle, next, found);
  return found;
}

export function phoneWorker() {
  return {
    name: 'phone-worker',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const entry = Object.values(bundle).find(
          ({ type, isEntry, name }) => type === 'chunk' && isEntry && name === 'phone',
        );
        const page = bundle['phone.html'];
        const worker = bundle[WORKER];
        if (!entry || !page || !worker) throw new Error('the phone page or its worker is missing');
        const files = [...filesOf(bundle, entry.fileName)].map((file) => ({
          url: `/pages/${file}`,
          revision: null,
        }));
        const kept = [{ url: '/phone', revision: hashOf(page.source) }, ...files];
        if (!PLACE.test(worker.code)) throw new Error('the worker does not ask for its files');
        worker.code = worker.code.replaceAll(PLACE, JSON.stringify(kept));
      },
    },
  };
}
