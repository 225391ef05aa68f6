package org.kerftally.shared.event;

/**
 * States one thing that happened. The cut log is a list of these; every state in the service is a
 * fold over it.
 */
public sealed interface Event permits ShopEvent, StationEvent {}
