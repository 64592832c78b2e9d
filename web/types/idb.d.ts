// The part of idb 8.0.4 that is used here.
export interface Database {
  readonly objectStoreNames: DOMStringList;
  readonly version: number;
  get(store: string, key: IDBValidKey): Promise<any>;
  getAll(store: string): Promise<any[]>;
  put(store: string, value: unknown, key?: IDBValidKey): Promise<IDBValidKey>;
  delete(store: string, key: IDBValidKey): Promise<void>;
  count(store: string): Promise<number>;
  transaction(store: string, mode: "readonly" | "readwrite"): Transaction;
  close(): void;
}
export interface Store {
  get(key: IDBValidKey): Promise<any>;
  put(value: unknown, key?: IDBValidKey): Promise<IDBValidKey>;
  delete(key: IDBValidKey): Promise<void>;
  getAll(): Promise<any[]>;
}
export interface Transaction { readonly store: Store; readonly done: Promise<void> }
export interface Upgrading {
  createObjectStore(name: string, options?: IDBObjectStoreParameters): unknown;
}
export function openDB(name: string, version: number | undefined, on?: {
  upgrade?(db: Upgrading, from: number): void; blocking?(): void; terminated?(): void;
}): Promise<Database>;
export function deleteDB(name: string): Promise<void>;
