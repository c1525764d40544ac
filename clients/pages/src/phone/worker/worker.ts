import { createHandlerBoundToURL, precacheAndRoute } from 'workbox-precaching';
import { NavigationRoute, registerRoute } from 'workbox-routing';

declare const self: ServiceWorkerGlobalScope & {
  /** The files of the page, each with its version; filled in when the pages are built. */
  PHONE_FILES: { url: string; revision: string | null }[];
};

// The page with all its files, as they were built together. A new version takes over when the page
// is opened anew, so that a page never loads files of another version.
precacheAndRoute(self.PHONE_FILES);
registerRoute(new NavigationRoute(createHandlerBoundToURL('/phone')));
