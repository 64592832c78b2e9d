// The part of @preact/signals 2.11.4 that is used here.
export interface Signal<T> { value: T; peek(): T; subscribe(fn: (value: T) => void): () => void }
export interface ReadonlySignal<T> { readonly value: T; peek(): T; subscribe(fn: (value: T) => void): () => void }
export function signal<T>(value: T): Signal<T>;
export function computed<T>(compute: () => T): ReadonlySignal<T>;
