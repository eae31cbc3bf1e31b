'use strict';
(() => {
  const quiz = JSON.parse(document.getElementById('answer').textContent);
  const form = document.getElementById('quiz'), score = document.getElementById('score');
  const asked = [...form.querySelectorAll('[data-question]')];
  const letter = choice => 'ABCD'[choice];
  const sentence = words => words[0].toUpperCase() + words.slice(1);
  const told = (question, chosen) => {
    const right = `${letter(question.right)}: ${question.choices[question.right]}`;
    if (chosen === question.right) return ['right', `Right. ${question.why}`];
    if (chosen < 0) return ['open', 'Nothing chosen yet.'];
    return ['wrong', `Not ${letter(chosen)}. ${sentence(question.against[chosen])} It is ${right}. ${question.why}`];
  };
  const forget = element => {
    delete element.dataset.mark;
    element.querySelector('.mark').textContent = '';
  };
  form.onsubmit = event => {
    event.preventDefault();
    let right = 0, open = 0;
    asked.forEach((element, i) => {
      const chosen = element.querySelector('input:checked');
      const [mark, words] = told(quiz.questions[i], chosen ? +chosen.value : -1);
      element.dataset.mark = mark;
      element.querySelector('.mark').textContent = words;
      right += mark === 'right';
      open += mark === 'open';
    });
    const left = open ? `, ${open} not answered` : '';
    score.textContent = `${right} of ${asked.length} right${left}.`;
  };
  form.onreset = () => {
    asked.forEach(forget);
    score.textContent = '';
  };
  // An answer that is changed is marked anew, when asked for.
  form.onchange = event => forget(event.target.closest('[data-question]'));
})();
