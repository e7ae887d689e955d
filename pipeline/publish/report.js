// Times can be copied with a click or a key; without this script they are plain text to select.
const told = document.getElementById("copied");

function copy(text) {
  navigator.clipboard.writeText(text).then(
    () => { told.textContent = "Copied " + (text.includes("\n") ? "the list" : text); },
    () => { told.textContent = "The browser does not allow copying here; please select the text"; },
  );
  setTimeout(() => { told.textContent = ""; }, 2500);
}

for (const time of document.querySelectorAll("time.at")) {
  const button = document.createElement("button");
  button.type = "button";
  button.title = "Copy this time";
  button.addEventListener("click", () => copy(time.textContent));
  time.replaceWith(button);
  button.append(time);
}

for (const list of document.querySelectorAll(".copied-whole")) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "whole";
  button.textContent = "Copy the list";
  button.addEventListener("click", () => copy(list.textContent));
  list.before(button);
}
