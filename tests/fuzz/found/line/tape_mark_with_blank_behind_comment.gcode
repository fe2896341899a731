%(1) 
%(a);b
% ( tape ) (mark) 
%"(a)
