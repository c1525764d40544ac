import { Inject, Module, type OnApplicationShutdown } from '@nestjs/common';
import { Config } from '../config/config.js';
import { DiskStore } from './disk-store.js';
import { FileStore } from './file-store.js';
import { IncomingFiles } from './incoming-files.js';
import { S3Store } from './s3-store.js';

/** Where files go: a directory, or a bucket where one is set. */
@Module({
  providers: [
    {
      provide: FileStore,
      inject: [Config],
      useFactory: ({ attachments: { directory, s3 } }: Config): FileStore =>
        s3 ? new S3Store(s3) : new DiskStore(directory),
    },
    IncomingFiles,
  ],
  exports: [FileStore, IncomingFiles],
})
export class StorageModule implements OnApplicationShutdown {
  constructor(@Inject(FileStore) private readonly store: FileStore) {}

  onApplicationShutdown(): void {
    if (this.store instanceof S3Store) this.store.close();
  }
}
