import { fileURLToPath } from 'node:url';
import { phoneWorker } from './phone-worker-plugin.mjs';
import { textsOfPages } from './texts-plugin.mjs';

const at = (path) => fileURLToPath(new URL(path, import.meta.url));

/** Each page is an entry of its own; what they share is split off by the bundler. */
const PAGES = ['desk', 'phone', 'sign-in'];

export default {
  root: at('.'),
  base: '/pages/',
  plugins: [textsOfPages(), phoneWorker()],
  build: {
    outDir: at('../../dist/pages'),
    emptyOutDir: true,
    target: 'es2022',
    // Nothing inline: the policy of the pages allows only files.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      checks: { pluginTimings: false },
      input: {
        ...Object.fromEntries(PAGES.map((page) => [page, at(`${page}.html`)])),
        'phone-worker': at('src/phone/worker/worker.ts'),
      },
      // The address of a service worker must not change from version to version.
      output: {
        entryFileNames: ({ name }) => (name === 'phone-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
  },
};
