import { Module } from '@nestjs/common';
import { DueListEventsModule } from '../../telling/due-list-events/due-list-events.module.js';
import { TokensController } from './tokens.controller.js';
import { TokensService } from './tokens.service.js';

@Module({ imports: [DueListEventsModule], controllers: [TokensController], providers: [TokensService] })
export class TokensModule {}
