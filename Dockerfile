# Index digest of node:24.21.0-bookworm-slim for all platforms, as of September 2026, for all three
# stages. To update it, see docs/operations.md, "Containers".
FROM node:24.21.0-bookworm-slim@sha256:0e0ff40c39bc087845bfb27465a0df4ea419520094bc35842ff83dd8cbe6f9b6 AS build
WORKDIR /app
COPY package.json package-lock.json ./
RUN npm ci --ignore-scripts
COPY tsconfig.json tsconfig.build.json ./
COPY src ./src
COPY migrations ./migrations
COPY seeds ./seeds
COPY clients ./clients
RUN npm run build

FROM node:24.21.0-bookworm-slim@sha256:0e0ff40c39bc087845bfb27465a0df4ea419520094bc35842ff83dd8cbe6f9b6 AS dependencies
WORKDIR /app
COPY package.json package-lock.json ./
# The optional packages are the embedded PostgreSQL, which a container with DATABASE_URL never
# starts, and a native accelerator that its library can do without.
RUN npm ci --omit=dev --omit=optional --ignore-scripts && npm cache clean --force

FROM node:24.21.0-bookworm-slim@sha256:0e0ff40c39bc087845bfb27465a0df4ea419520094bc35842ff83dd8cbe6f9b6
ENV NODE_ENV=production HOST=0.0.0.0 PORT=8470 NODE_OPTIONS="--enable-source-maps --max-old-space-size=1024"
WORKDIR /app
COPY --from=dependencies /app/node_modules ./node_modules
COPY --from=build /app/dist ./dist
COPY package.json LICENSE ./
# For attachments. A volume mounted here takes over the owner of this directory.
ENV ATTACHMENTS_DIR=/var/lib/weephole/attachments
RUN mkdir -p /var/lib/weephole/attachments && chown -R node:node /var/lib/weephole
USER node
EXPOSE 8470
STOPSIGNAL SIGTERM
HEALTHCHECK --interval=15s --timeout=5s --start-period=30s --retries=3 \
  CMD ["node", "-e", "fetch(`http://127.0.0.1:${process.env.PORT}/health/ready`).then((answer) => process.exit(answer.ok ? 0 : 1), () => process.exit(1))"]
# Runs API and worker in one process. The API alone: node dist/src/main.api.js; the worker alone:
# node dist/src/main.worker.js; the migrations: node dist/src/commands/migrate.js.
CMD ["node", "dist/src/main.js"]
