for (const box of document.querySelectorAll(".search")) {
  const input = box.querySelector("input"), told = box.querySelector("output");
  const rows = [...box.nextElementSibling.querySelectorAll("tbody tr")].map(row => [row, row.textContent.toLowerCase()]);
  const narrow = () => {
    const words = input.value.toLowerCase().split(/\s+/);
    let shown = 0;
    for (const [row, text] of rows) {
      row.hidden = !words.every(word => text.includes(word));
      shown += !row.hidden;
    }
    told.value = shown + " of " + rows.length;
  };
  box.hidden = false;
  input.addEventListener("input", narrow);
  narrow();
}
