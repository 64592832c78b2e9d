// A chosen file as the API takes it.

/** The bytes of a file in base64. @param {Blob} file @returns {Promise<string>} */
export function inBase64(file) {
  return new Promise((done, failed) => {
    const reader = new FileReader();
    reader.onerror = () => failed(reader.error);
    reader.onload = () => { const text = String(reader.result); done(text.slice(text.indexOf(",") + 1)); };
    reader.readAsDataURL(file);
  });
}
