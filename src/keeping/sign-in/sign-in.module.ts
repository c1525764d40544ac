import { Module } from '@nestjs/common';
import { DueListEventsModule } from '../../telling/due-list-events/due-list-events.module.js';
import { ProviderClient } from './provider-client.js';
import { ProviderSignInService } from './provider-sign-in.service.js';
import { SessionStore } from './session-store.js';
import { SessionsController } from './sessions.controller.js';
import { SessionsService } from './sessions.service.js';
import { SignInLinksController } from './sign-in-links.controller.js';
import { SignInLinksService } from './sign-in-links.service.js';
import { SignInWaysController } from './sign-in-ways.controller.js';
import { SignInService } from './sign-in.service.js';

@Module({
  imports: [DueListEventsModule],
  controllers: [SessionsController, SignInLinksController, SignInWaysController],
  providers: [
    SessionsService,
    SessionStore,
    SignInLinksService,
    SignInService,
    ProviderClient,
    ProviderSignInService,
  ],
})
export class SignInModule {}
